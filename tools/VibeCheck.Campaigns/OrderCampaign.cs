using System.Diagnostics;
using System.Globalization;

namespace VibeCheck.Campaigns;

/// <summary>Accuracy of the order measurement over many simulated hovers with known truth.</summary>
internal static class OrderCampaign
{
    // Coarsest step of reported speeds, share: usually 0.5 %, up to 2.5 % (50 rpm on slow rotors) in the trials with coarse steps.
    private const double UsualStep = 0.005;
    private const double CoarseStep = 0.025;

    /// <summary>Prints the table. <c>--worst N</c>: the N results with the largest errors, and some unknown ones; <c>--each</c>: one line
    /// per trial; <c>--coarse</c>: steps of the telemetry up to 2.5 %; <c>--oracle</c>: true angles reported; <c>--silent</c>: almost no
    /// noise; <c>--minutes M</c>: hovers of that length, at most 1 kHz; <c>--from K</c>: begin at trial K.</summary>
    internal static int Run(string[] args, TextWriter output)
    {
        int trials = Number(args, "--trials", 200),
            seed = Number(args, "--seed", 1),
            from = Number(args, "--from", 0),
            worst = Number(args, "--worst", 0);
        var watch = Stopwatch.StartNew();
        var all = new List<OrderSample>();
        for (int t = from; t < from + trials; t++)
        {
            OrderTrial trial = OrderTrial.Draw(t, seed, args.Contains("--coarse") ? CoarseStep : UsualStep);
            if (Number(args, "--minutes", 0) is > 0 and var minutes)
            {
                trial = trial with
                {
                    Recipe = trial.Recipe with { HoverS = 60 * minutes, ImuRateHz = Math.Min(1000, trial.Recipe.ImuRateHz) },
                };
            }

            if (args.Contains("--oracle"))
            {
                trial = trial with
                {
                    Recipe = trial.Recipe with
                    {
                        TelemetryHz = 1000,
                        TelemetryLatencyS = 0,
                        TelemetryNoiseRpm = 0,
                        TelemetrySmoothingS = 0,
                        TelemetryStepRpm = 0,
                        EscClockPpm = 0,
                    },
                };
            }

            if (args.Contains("--silent"))
            {
                trial = trial with { Recipe = trial.Recipe with { AccNoise = 1e-5, RumbleMps2 = 0, AccStepMps2 = 0 } };
            }

            List<OrderSample> readings = trial.Run();
            all.AddRange(readings);
            if (args.Contains("--each"))
            {
                output.WriteLine(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"@{t} {Rms(readings.Where(r => r.Level.Order == 1)):0.000} {Rms(readings.Where(r => r.Level.Order > 1)):0.000}"
                    )
                );
            }
        }

        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{trials} trials, seed {seed}, {all.Count} orders, {watch.Elapsed.TotalSeconds:0} s"
            )
        );
        output.WriteLine("class                     order 1: n  median   90 %  held  given | higher: n  median   90 %  held  given");
        Row(output, "all", all);
        foreach (var (name, key) in Classes)
        {
            foreach (var group in all.GroupBy(key).OrderBy(g => g.Key, StringComparer.Ordinal))
            {
                Row(output, $"{name} {group.Key}", [.. group]);
            }
        }

        foreach (
            OrderSample r in all.Where(r => r.Given)
                .OrderByDescending(r => Math.Abs(r.ErrorDb))
                .Take(worst)
                .Concat(all.Where(r => !r.Given).Take(worst / 4))
        )
        {
            Describe(output, r);
        }

        return 0;
    }

    private static IEnumerable<(string Name, Func<OrderSample, string> Key)> Classes =>
        [
            ("order", r => Text(r.Level.Order)),
            ("telemetry Hz", r => Text(r.Trial.Recipe.TelemetryHz)),
            ("sample rate Hz", r => Text(r.Trial.Recipe.ImuRateHz)),
            (
                "rotors",
                r =>
                    $"{r.Trial.Recipe.Airframe.Motors.Count} "
                    + $"{(r.Trial.Recipe.Airframe.Name.StartsWith("coax", StringComparison.Ordinal) ? "coaxial" : "single")}"
            ),
            ("size", r => r.Trial.Size),
            (
                "spread",
                r =>
                    r.Trial.SpreadShare < 0.002 ? "a < 0.2 %"
                    : r.Trial.SpreadShare < 0.006 ? "b < 0.6 %"
                    : "c wider"
            ),
            ("hover", r => r.Trial.Recipe.HoverS < 21 ? "short" : "long"),
            ("manoeuvres", r => r.Trial.Recipe.ManoeuvresAtS.Count > 0 ? "yes" : "no"),
            ("smoothed", r => r.Trial.Recipe.TelemetrySmoothingS > 0 ? "yes" : "no"),
            ("gap", r => r.Trial.Recipe.ImuGaps.Count > 0 ? "yes" : "no"),
            (
                "smooth+spread",
                r =>
                    (r.Trial.Recipe.TelemetrySmoothingS > 0 ? "yes" : "no")
                    + " "
                    + (
                        r.Trial.SpreadShare < 0.002 ? "a"
                        : r.Trial.SpreadShare < 0.006 ? "b"
                        : "c"
                    )
            ),
            ("steps", r => StepClass(r.Trial.Recipe.TelemetryStepRpm / r.Trial.Recipe.HoverRpm)),
            ("folded", r => r.Level.FoldedFromHz is not null ? "yes" : "no"),
        ];

    private static double Rms(IEnumerable<OrderSample> readings) =>
        Math.Sqrt(readings.Where(r => r.Given).Select(r => r.ErrorDb * r.ErrorDb).DefaultIfEmpty(0).Average());

    private static void Row(TextWriter output, string name, List<OrderSample> readings) =>
        output.WriteLine($"{name, -25} {Cells(readings.Where(r => r.Level.Order == 1))} | {Cells(readings.Where(r => r.Level.Order > 1))}");

    private static string Cells(IEnumerable<OrderSample> readings)
    {
        OrderSample[] all = [.. readings];
        double[] errors = [.. all.Where(r => r.Given).Select(r => Math.Abs(r.ErrorDb)).Order()];
        if (errors.Length == 0)
        {
            return string.Create(CultureInfo.InvariantCulture, $"{all.Length, 10}      -       -     -     -");
        }

        double[] signed = [.. all.Where(r => r.Given).Select(r => r.ErrorDb).Order()];
        double held = 100.0 * all.Count(r => r.Held == true) / all.Count(r => r.Held is not null);
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{all.Length, 8} {signed[signed.Length / 2], 6:0.00} {errors[errors.Length / 2], 7:0.000} "
                + $"{errors[(int)(0.9 * (errors.Length - 1))], 6:0.00} {held, 5:0.0} {100.0 * errors.Length / all.Length, 6:0.0}"
        );
    }

    private static void Describe(TextWriter output, OrderSample r)
    {
        var c = r.Trial.Recipe;
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"#{r.Trial.Number} {r.Motor} x{r.Level.Order} err {r.ErrorDb:0.00} dB true {r.TrueMps2:0.0000} got "
                    + $"{r.Level.RmsMps2.Value:0.0000} [{r.Level.RmsMps2.Ci95?.Low:0.0000},{r.Level.RmsMps2.Ci95?.High:0.0000}] "
                    + $"{r.Hz:0.0} Hz rate {c.ImuRateHz} tel {c.TelemetryHz} Hz lat {c.TelemetryLatencyS:0.000} lag "
                    + $"{r.Rotor.SpeedLagS:0.000} smooth {c.TelemetrySmoothingS:0.00} noise {c.TelemetryNoiseRpm:0.0} step "
                    + $"{c.TelemetryStepRpm} wander {c.Wander:0.0000}/{c.WanderS:0.0}/{c.FastWander:0.0000} spread "
                    + $"{r.Trial.SpreadShare:0.0000} n {c.Airframe.Motors.Count} hover {c.HoverS:0} man "
                    + $"{c.ManoeuvresAtS.Count} gaps {c.ImuGaps.Count} white {c.AccNoise:0.000} rumble "
                    + $"{c.RumbleMps2:0.00} {r.Level.RmsMps2.Why}"
            )
        );
    }

    private static string StepClass(double share) =>
        share < 0.0005 ? "a < 0.05 %"
        : share < 0.002 ? "b < 0.2 %"
        : share < 0.0051 ? "c to 0.5 %"
        : "d coarser";

    private static string Text(double value) => value.ToString("0000", CultureInfo.InvariantCulture);

    private static int Number(string[] args, string name, int otherwise)
    {
        int at = Array.IndexOf(args, name);
        return at >= 0 && at + 1 < args.Length ? int.Parse(args[at + 1], CultureInfo.InvariantCulture) : otherwise;
    }
}
