using System.Diagnostics;
using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;
using VibeCheck.Reports.Text;

namespace VibeCheck.Campaigns;

/// <summary>How well the offset between two recorders is found, and whether files of two flights are noticed.</summary>
internal static class AlignmentCampaign
{
    internal static int Run(int trials, TextWriter output, int seed = 9100)
    {
        var errors = new List<double>();
        var drifts = new List<double>();
        int inside = 0,
            unknown = 0,
            refusedRight = 0,
            refusedWrong = 0,
            acceptedWrong = 0;
        double seconds = 0;
        for (int trial = 0; trial < trials; trial++)
        {
            FlightRecipe recipe = Recipe(seed, trial);
            SimulatedFlight flight = SimulatedFlight.Make(recipe);
            var watch = Stopwatch.StartNew();
            ClockAlignment found = RecorderAlignment.Find(flight.Flight.Imu, Speeds(flight, recipe.Airframe), new(0, 60));
            seconds += watch.Elapsed.TotalSeconds;

            // Latency and smoothing delay the reported speeds: the stamp that fits the vibration is earlier by this delay.
            double truth =
                -recipe.EscClockOffsetS - recipe.EscClockPpm * 1e-6 * found.AtS - recipe.TelemetryLatencyS - recipe.TelemetrySmoothingS;
            SimulatedFlight other = SimulatedFlight.Make(recipe with { Seed = recipe.Seed + 5000, EscClockOffsetS = 0 });
            ClockAlignment wrong = RecorderAlignment.Find(flight.Flight.Imu, Speeds(other, recipe.Airframe), new(0, 60));
            refusedWrong += wrong.Contradicts ? 1 : 0;
            acceptedWrong += wrong.OffsetS.HasValue ? 1 : 0;
            refusedRight += found.Contradicts ? 1 : 0;
            string line = string.Create(
                CultureInfo.InvariantCulture,
                $"{trial, 3} {recipe.Airframe.Motors.Count} rotors {recipe.ImuRateHz, 5} Hz {recipe.TelemetryHz, 3} Hz wander "
                    + $"{recipe.Wander:F4} truth {truth, 9:F4}"
            );
            if (found.OffsetS is double offset)
            {
                double error = offset - truth;
                errors.Add(Math.Abs(error));
                inside += Math.Abs(error) <= found.U95S ? 1 : 0;
                if (found.DriftPpm is double ppm)
                {
                    drifts.Add(Math.Abs(ppm + recipe.EscClockPpm));
                }

                output.WriteLine(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{line} error {1000 * error, 7:F1} ms (u95 {1000 * found.U95S!.Value:F1}) drift {found.DriftPpm:F0} (u95 "
                            + $"{found.DriftU95Ppm:F0}) of {-recipe.EscClockPpm:F0}; other flight: "
                            + $"{wrong.OffsetS?.ToString("F2", CultureInfo.InvariantCulture) ?? ReasonText.Of(wrong.Why)}"
                    )
                );
            }
            else
            {
                unknown++;
                output.WriteLine(
                    $"{line} {ReasonText.Of(found.Why)}; other flight: "
                        + $"{wrong.OffsetS?.ToString("F2", CultureInfo.InvariantCulture) ?? ReasonText.Of(wrong.Why)}"
                );
            }
        }

        errors.Sort();
        drifts.Sort();
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"found {errors.Count} of {trials}, |error| median {1000 * At(errors, 0.5):F1} ms, 90 % {1000 * At(errors, 0.9):F1} "
                    + $"ms, worst {1000 * At(errors, 1):F1} ms; inside its interval {inside}; {seconds / trials:F2} s each"
            )
        );
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"drift shown {drifts.Count}, |error| median {At(drifts, 0.5):F0} ppm, 90 % {At(drifts, 0.9):F0} ppm"
            )
        );
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"right pairs refused {refusedRight}; files of two flights: refused {refusedWrong}, undecided "
                    + $"{trials - refusedWrong - acceptedWrong}, taken {acceptedWrong}"
            )
        );
        return 0;
    }

    internal static IReadOnlyList<RotorSpeed> Speeds(SimulatedFlight flight, Airframe airframe) =>
        [.. flight.Flight.Motors.Select((m, i) => new RotorSpeed(m.MotorId, m.Rpm!, airframe.Motors[i].Blades))];

    private static double At(List<double> sorted, double share) =>
        sorted.Count == 0 ? double.NaN : sorted[(int)Math.Round(share * (sorted.Count - 1))];

    private static FlightRecipe Recipe(int seed, int trial)
    {
        var random = new Random(seed + trial);
        int motors = new[] { 4, 6, 8 }[random.Next(3)];
        Airframe airframe = DemoAirframes.Ring(motors, "Trial", 6, 0.4, random.Next(2) + 2);
        double wander = new[] { 0.003, 0.006, 0.012 }[random.Next(3)];
        return new FlightRecipe
        {
            Airframe = airframe,
            Seed = seed - 8400 + trial,
            Rotors =
            [
                .. Enumerable
                    .Range(0, motors)
                    .Select(_ => new RotorSource([
                        new(1, 0.2 + random.NextDouble()),
                        new(2, 0.1 + 0.4 * random.NextDouble()),
                        new(3, 0.2 * random.NextDouble()),
                    ])),
            ],
            HoverRpm = 2500 + 4000 * random.NextDouble(),
            HoverS = 30 + 90 * random.NextDouble(),
            ImuRateHz = new[] { 500.0, 1000, 2000 }[random.Next(3)],
            TelemetryHz = new[] { 10.0, 20, 50 }[random.Next(3)],
            TelemetryLatencyS = 0.1 * random.NextDouble(),
            TelemetrySmoothingS = random.Next(2) * 0.08 * random.NextDouble(),
            Wander = wander,
            ManoeuvresAtS = random.Next(2) == 0 ? [20, 30] : [],
            EscClockOffsetS = 40 * (random.NextDouble() - 0.5),
            EscClockPpm = 160 * (random.NextDouble() - 0.5),
        };
    }
}
