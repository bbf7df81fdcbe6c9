using System.Globalization;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;

namespace VibeCheck.Campaigns.Findings;

/// <summary>The onset time that is reported for faults that begin in flight and for faults that are there from the start: <c>campaigns
/// onsets [--trials N] [--seed S] [--only CODE] [--each]</c>.</summary>
internal static class OnsetCampaign
{
    internal const string Usage = "onsets [--trials N] [--seed S] [--only CODE] [--each]";

    private static readonly string[] s_codes =
    [
        "order-1-stands-out",
        "blade-pass-stands-out",
        "looseness",
        "bearing-tone",
        "steady-line",
        "broadband",
        "hot-motor",
    ];

    internal static int Run(string[] args, TextWriter output)
    {
        int trials = Option(args, "--trials", 20),
            seed = Option(args, "--seed", 1);
        string? only = Array.IndexOf(args, "--only") is >= 0 and int at ? args[at + 1] : null;
        output.WriteLine(Invariant($"Made flights, seed {seed}, {trials} a fault and kind, middling and gross"));
        output.WriteLine();
        output.WriteLine(
            "| fault | begins in flight: found | with a moment | error, median, s | 90 of 100 within, s | there from the start: found | with a moment |"
        );
        output.WriteLine("|---|---|---|---|---|---|---|");
        foreach (string code in s_codes.Where(c => only is null || only.Split(',').Contains(c)))
        {
            Said[] begun = All(code, trials, seed, begins: true),
                always = All(code, trials, seed, begins: false);
            double[] errors = [.. begun.Where(s => s.FromS is not null).Select(s => Math.Abs(s.FromS!.Value - s.TrueS)).Order()];
            output.WriteLine(
                Invariant($"| {code} | {begun.Count(s => s.IsFound)} of {trials} | {errors.Length} | {Share(errors, 0.5):0.0} | ")
                    + Invariant(
                        $"{Share(errors, 0.9):0.0} | {always.Count(s => s.IsFound)} of {trials} | {always.Count(s => s.FromS is not null)} |"
                    )
            );
            if (args.Contains("--each"))
            {
                foreach (Said s in begun.Concat(always))
                {
                    output.WriteLine(
                        Invariant($"  {s.Trial.Code} {s.Trial.Size} {s.Trial.Amount:0.##} {s.TrueS:0.0} {s.IsFound} {s.FromS:0.0}")
                    );
                }
            }

            output.Flush();
        }

        return 0;
    }

    private static Said[] All(string code, int trials, int seed, bool begins)
    {
        Said[] all = new Said[trials];
        Parallel.For(0, trials, new() { MaxDegreeOfParallelism = 2 }, n => all[n] = One(code, n, seed, begins));
        return all;
    }

    private static Said One(string code, int n, int seed, bool begins)
    {
        // The first of each three numbers gives a barely visible fault.
        FaultTrial trial = FaultTrial.Draw(code, n / 2 * 3 + 1 + n % 2, seed);
        trial = begins ? trial with { BeginsS = FaultRun.HoverFromS + trial.Aircraft.HoverS * (0.25 + 0.5 * Place(trial.Seed)) } : trial;
        FlightAnalysis analysis = FlightCheck.Of(FaultCampaign.Make(trial), trial.Aircraft.Airframe);
        string? motor = FaultRanges.Of(code).PerMotor ? trial.MotorId : null;
        return new(
            trial,
            trial.BeginsS,
            analysis.Findings.Any(f => f.Code == code && (motor is null || f.Motor == motor)),
            analysis.Onsets.FirstOrDefault(o => o.Code == code && (motor is null || o.Motor == motor))?.FromS
        );
    }

    private static double Place(int seed) => new Random(seed ^ 0x0a5e7).NextDouble();

    private static double Share(double[] sorted, double share) =>
        sorted.Length == 0 ? double.NaN : sorted[Math.Min(sorted.Length - 1, (int)(share * sorted.Length))];

    private static int Option(string[] args, string name, int usual) =>
        Array.IndexOf(args, name) is >= 0 and int at ? int.Parse(args[at + 1], CultureInfo.InvariantCulture) : usual;

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private sealed record Said(FaultTrial Trial, double TrueS, bool IsFound, double? FromS);
}
