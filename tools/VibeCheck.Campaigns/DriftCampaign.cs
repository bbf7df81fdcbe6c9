using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals;
using VibeCheck.FlightMaker;
using VibeCheck.Reports.Text;

namespace VibeCheck.Campaigns;

/// <summary>How well the drift between two recorders is found on long flights.</summary>
internal static class DriftCampaign
{
    internal static int Run(int trials, TextWriter output, int seed = 4100)
    {
        var errors = new List<double>();
        var ends = new List<double>();
        int inside = 0;
        for (int trial = 0; trial < trials; trial++)
        {
            FlightRecipe recipe = Recipe(seed, trial);
            SimulatedFlight flight = SimulatedFlight.Make(recipe);
            ClockAlignment found = RecorderAlignment.Find(flight.Flight.Imu, AlignmentCampaign.Speeds(flight, recipe.Airframe), new(0, 2));
            string line = string.Create(
                CultureInfo.InvariantCulture,
                $"{trial, 3} {recipe.HoverS / 60:F0} min {recipe.Airframe.Motors.Count} rotors {recipe.ImuRateHz, 5} Hz "
                    + $"{recipe.TelemetryHz, 3} Hz wander {recipe.Wander:F3} truth {-recipe.EscClockPpm, 6:F1} ppm"
            );
            if (found.DriftPpm is not double ppm)
            {
                output.WriteLine($"{line} not shown: {ReasonText.Of(found.Why)}");
                continue;
            }

            double error = ppm + recipe.EscClockPpm;
            errors.Add(Math.Abs(error));
            inside += Math.Abs(error) <= found.DriftU95Ppm ? 1 : 0;

            // The remaining error at the ends of the flight, offset and drift together; latency and smoothing delay the reports.
            double endS = flight.Flight.Imu.EndS;
            double Left(double t) =>
                found.OffsetS!.Value
                + ppm * 1e-6 * (t - found.AtS)
                + recipe.EscClockOffsetS
                + recipe.EscClockPpm * 1e-6 * t
                + recipe.TelemetryLatencyS
                + recipe.TelemetrySmoothingS;
            ends.Add(Math.Max(Math.Abs(Left(0)), Math.Abs(Left(endS))));
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{line} found {ppm, 6:F1} (u95 {found.DriftU95Ppm:F0}; offset u95 {1000 * found.U95S!.Value:F1} ms at "
                        + $"{found.AtS:F0} s, error {1000 * (found.OffsetS!.Value + recipe.EscClockOffsetS + recipe.EscClockPpm * 1e-6 * found.AtS + recipe.TelemetryLatencyS):F1} ms), error {error, 6:F1}; clocks at the ends {1000 * ends[^1]:F1} ms apart"
                )
            );
        }

        errors.Sort();
        ends.Sort();
        static double At(List<double> sorted, double share) =>
            sorted.Count == 0 ? double.NaN : sorted[(int)Math.Round(share * (sorted.Count - 1))];
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"shown {errors.Count} of {trials}; |error| median {At(errors, 0.5):F1}, 90 % {At(errors, 0.9):F1}, worst "
                    + $"{At(errors, 1):F1} ppm; inside its interval {inside}; at the ends of the flight median "
                    + $"{1000 * At(ends, 0.5):F1}, worst {1000 * At(ends, 1):F1} ms"
            )
        );
        return 0;
    }

    private static FlightRecipe Recipe(int seed, int trial)
    {
        var random = new Random(seed + trial);
        int motors = new[] { 4, 6 }[trial % 2];
        Airframe airframe = DemoAirframes.Ring(motors, "Trial", 6, 0.4, random.Next(2) + 2);
        return new FlightRecipe
        {
            Airframe = airframe,
            Seed = seed - 3800 + trial,
            Rotors =
            [
                .. Enumerable
                    .Range(0, motors)
                    .Select(_ => new RotorSource([new(1, 0.3 + random.NextDouble()), new(2, 0.1 + 0.4 * random.NextDouble())])),
            ],
            HoverRpm = 2500 + 3000 * random.NextDouble(),
            HoverS = 60 * new[] { 5, 10, 20 }[trial % 3],
            ImuRateHz = 500,
            TelemetryHz = new[] { 10.0, 20, 50 }[random.Next(3)],
            TelemetryLatencyS = 0.05 * random.NextDouble(),
            Wander = new[] { 0.004, 0.008, 0.012 }[random.Next(3)],
            EscClockOffsetS = 0.4 * (random.NextDouble() - 0.5),
            EscClockPpm = 160 * (random.NextDouble() - 0.5),
        };
    }
}
