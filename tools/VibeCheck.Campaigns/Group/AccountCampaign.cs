using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;
using VibeCheck.Reports.Text;

namespace VibeCheck.Campaigns.Group;

/// <summary>How well vibration outside the rotors' orders is found and named: <c>campaigns accounting [--trials N] [--seed S] [--each]
/// [--comparisons]</c>.</summary>
internal static class AccountCampaign
{
    private static readonly string[] s_codes = ["looseness", "bearing-tone", "steady-line", "broadband", "hard-knocks"];

    internal static int Run(string[] args, TextWriter output)
    {
        int trials = Option(args, "--trials", 20),
            seed = Option(args, "--seed", 1);
        bool each = args.Contains("--each"),
            speeds = !args.Contains("--no-speeds");
        if (args.Contains("--comparisons"))
        {
            CompareAll(trials, seed, each, output);
            return 0;
        }

        output.WriteLine($"Made flights {(speeds ? "with" : "without")} rotor speeds, seed {seed}, {trials} a row");
        output.WriteLine(
            "| added | named, % | of those from 0.5 m/s² on, % | right motor, % | another of these codes above a note, % | its part "
                + "against the truth, dB: median / 90 % | parts against total, %: worst |"
        );
        output.WriteLine("|---|---|---|---|---|---|---|");
        foreach (
            AddedFault fault in new[]
            {
                AddedFault.None,
                AddedFault.Looseness,
                AddedFault.BearingTone,
                AddedFault.SteadyLine,
                AddedFault.Knocks,
            }
        )
        {
            Row(fault, trials, seed, each, speeds, output);
            output.Flush();
        }

        CompareAll(trials, seed, each, output);
        return 0;
    }

    private static void CompareAll(int trials, int seed, bool each, TextWriter output)
    {
        Compare(AddedFault.None, 0, trials, seed, each, output);
        Compare(AddedFault.Broadband, -4, trials, seed, each, output);
    }

    private static void Row(AddedFault fault, int trials, int seed, bool each, bool speeds, TextWriter output)
    {
        int named = 0,
            large = 0,
            namedLarge = 0,
            motor = 0,
            others = 0;
        double worst = 0;
        List<double> errors = [];
        string code = Code(fault);
        for (int n = 0; n < trials; n++)
        {
            AccountTrial trial = AccountTrial.Draw(n, seed, fault);
            (Flight flight, FlightTruth truth) = trial.Make(trial.Base.Before, speeds, true);
            FlightAnalysis analysis = FlightCheck.Of(flight, trial.Airframe);
            VibrationAccount account = analysis.Accounting!;
            Finding[] mine = [.. analysis.Findings.Where(f => s_codes.Contains(f.Code))];
            Finding? right = mine.FirstOrDefault(f => f.Code == code);
            named += right is null ? 0 : 1;
            large += trial.SizeMps2 > 0.5 ? 1 : 0;
            namedLarge += trial.SizeMps2 > 0.5 && right is not null ? 1 : 0;
            motor += right?.Motor == trial.FaultyMotor ? 1 : 0;
            others += mine.Any(f => f.Code != code && f.Severity != Severity.Note) ? 1 : 0;
            worst = Math.Max(
                worst,
                account.TotalMps2.IsKnown && account.Parts.All(p => p.Mps2.IsKnown)
                    ? Math.Abs(account.Parts.Sum(p => Math.Pow(p.Mps2.Value!.Value, 2)) / Math.Pow(account.TotalMps2.Value!.Value, 2) - 1)
                    : 0
            );
            if (PartOf(fault) is { } part && fault != AddedFault.Knocks && account.Part(part).Mps2.Value is double size)
            {
                errors.Add(Math.Abs(20 * Math.Log10(Math.Max(1e-3, size) / trial.SizeMps2)));
            }

            if (each)
            {
                output.WriteLine(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{fault} {n} {trial.FaultyMotor} size {trial.SizeMps2:0.00} {60 / 60 * truth.Motors[0].RpmMean:0} rpm "
                            + $"{trial.Base.Before.ImuRateHz:0} Hz rotors "
                            + $"{account.Part(VibrationPartKind.RotorOrders).Mps2.Value:0.00} (true "
                            + $"{truth.RotorVibrationMps2():0.00}) half "
                            + $"{account.Part(VibrationPartKind.HalfOrders).Mps2.Value:0.00} locked "
                            + $"{account.Part(VibrationPartKind.RotorLocked).Mps2.Value:0.00} steady "
                            + $"{account.Part(VibrationPartKind.SteadyLines).Mps2.Value:0.00} broad "
                            + $"{account.Part(VibrationPartKind.Broadband).Mps2.Value:0.00} knocks "
                            + $"{account.Part(VibrationPartKind.Knocks).Mps2.Value:0.00} n "
                            + $"{account.Knocks.Count} | "
                            + $"{string.Join("; ", mine.Select(f => $"{f.Code} {f.Severity} {f.Motor} {FindingText.Of(f).Evidence}"))}"
                    )
                );
            }
        }

        errors.Sort();
        string Of(double share) =>
            errors.Count == 0
                ? "-"
                : errors[Math.Min(errors.Count - 1, (int)(share * errors.Count))].ToString("0.0", CultureInfo.InvariantCulture);
        string Percent(int some, int all) => all == 0 ? "-" : (100.0 * some / all).ToString("0", CultureInfo.InvariantCulture);
        bool isFault = fault != AddedFault.None,
            hasMotor = fault is AddedFault.Looseness or AddedFault.BearingTone && speeds;
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"| {(isFault ? code : "nothing")} | {(isFault ? Percent(named, trials) : "-")} | "
                    + $"{(isFault ? Percent(namedLarge, large) : "-")} | {(hasMotor ? Percent(motor, named) : "-")} | "
                    + $"{Percent(others, trials)} | {Of(0.5)} / {Of(0.9)} | {100 * worst:0.0} |"
            )
        );
    }

    /// <summary>Jobs in which the rotors changed by the given number of dB, and wash and frame noise by 8 dB or not at all.</summary>
    private static void Compare(AddedFault fault, double changeDb, int trials, int seed, bool each, TextWriter output)
    {
        int broadband = 0,
            mixed = 0,
            none = 0,
            all = 0,
            rotors = 0;
        for (int n = 0; n < trials; n++)
        {
            AccountTrial trial = AccountTrial.Draw(n, seed + 40, fault);
            FlightRecipe after = trial.Base.After with
            {
                Rotors =
                [
                    .. trial.Base.Before.Rotors.Select(r => new RotorSource([
                        .. r.Orders.Select(o => o with { RmsMps2 = o.RmsMps2 * Math.Pow(10, changeDb / 20) }),
                    ])),
                ],
            };
            Comparison c = JobComparison.Run(
                new()
                {
                    Title = "Trial",
                    Airframe = trial.Airframe,
                    Before = [trial.Make(trial.Base.Before, true, false).Flight],
                    After = [trial.Make(after, true, true).Flight],
                }
            );
            if (each)
            {
                PartChange? air = c.Parts.FirstOrDefault(p => p.Kind == VibrationPartKind.Broadband);
                output.WriteLine(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"job {n}: all {c.AllVibration.Before:0.00} {c.AllVibration.After:0.00} broadband {air?.BeforeMps2.Value:0.000} ({air?.BeforeMps2.Ci95?.Low:0.000} to {air?.BeforeMps2.Ci95?.High:0.000}), "
                            + $"{air?.AfterMps2.Value:0.000} ({air?.AfterMps2.Ci95?.Low:0.000} to {air?.AfterMps2.Ci95?.High:0.000}): {air?.ChangeDb.Value:0.0} dB ({air?.ChangeDb.Ci95?.Low:0.0} to {air?.ChangeDb.Ci95?.High:0.0}) {air?.Call}; {c.Verdict}; sensor noise {trial.Base.Before.AccNoise:0.000} m/s²/√Hz, {trial.Base.Before.ImuRateHz:0} Hz"
                    )
                );
            }

            broadband += c.Parts.Any(p => p is { Kind: VibrationPartKind.Broadband, Call: CallKind.Worse }) ? 1 : 0;
            mixed += c.Verdict == Verdict.Mixed ? 1 : 0;
            none += c.Verdict == Verdict.NoClearChange ? 1 : 0;
            all += c.AllVibration.Kind is CallKind.Improved or CallKind.Worse ? 1 : 0;
            rotors += c.Vibration.Kind == CallKind.Improved ? 1 : 0;
        }

        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"Jobs, rotors {changeDb:0} dB, {(fault == AddedFault.Broadband ? "broadband 8 dB more" : "broadband as before")}: of "
                    + $"{trials}, rotors improved {rotors}, broadband worse {broadband}, all vibration called {all}, mixed {mixed}, no clear "
                    + $"change {none}"
            )
        );
    }

    private static string Code(AddedFault fault) =>
        fault switch
        {
            AddedFault.Looseness => "looseness",
            AddedFault.BearingTone => "bearing-tone",
            AddedFault.SteadyLine => "steady-line",
            AddedFault.Knocks => "hard-knocks",
            AddedFault.Broadband => "broadband",
            _ => "",
        };

    private static VibrationPartKind? PartOf(AddedFault fault) =>
        fault switch
        {
            AddedFault.Looseness => VibrationPartKind.HalfOrders,
            AddedFault.BearingTone => VibrationPartKind.RotorLocked,
            AddedFault.SteadyLine => VibrationPartKind.SteadyLines,
            AddedFault.Knocks => VibrationPartKind.Knocks,
            _ => null,
        };

    private static int Option(string[] args, string name, int usual) =>
        Array.IndexOf(args, name) is >= 0 and int at ? int.Parse(args[at + 1], CultureInfo.InvariantCulture) : usual;
}
