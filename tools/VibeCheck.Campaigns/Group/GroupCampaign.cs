using System.Diagnostics;
using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders.Group;
using VibeCheck.FlightMaker;

namespace VibeCheck.Campaigns.Group;

/// <summary>How well jobs without rotor speeds are answered: <c>campaigns group [--trials N] [--seed S] [--from K] [--each]</c>.</summary>
internal static class GroupCampaign
{
    internal static int Run(string[] args, TextWriter output)
    {
        int trials = Option(args, "--trials", 60),
            seed = Option(args, "--seed", 1),
            first = Option(args, "--from", 0);
        bool each = args.Contains("--each");
        List<GroupOutcome> all = [];
        var clock = Stopwatch.StartNew();
        for (int n = first; n < first + trials; n++)
        {
            var outcome = GroupOutcome.Of(GroupTrial.Draw(n, seed, null));
            all.Add(outcome);
            if (each)
            {
                output.WriteLine(outcome.Line());
                output.Flush();
            }
        }

        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"Jobs without rotor speeds, seed {seed}, {trials} trials, {clock.Elapsed.TotalSeconds / trials:0.0} s each"
            )
        );
        output.WriteLine(
            "| jobs | n | answered, % | error of the change median / 90 % / worst, dB | within the 95 % interval, % | call right, % of "
                + "all | call reversed | speed given, % | wrong speed |"
        );
        output.WriteLine("|---|---|---|---|---|---|---|---|---|");
        Row("all", _ => true);
        Row("with commands", o => o.Trial.WithCommands);
        Row("without commands", o => !o.Trial.WithCommands);
        Row("4 rotors", o => o.Trial.Airframe.Motors.Count < 6);
        Row("6 or 8 rotors", o => o.Trial.Airframe.Motors.Count >= 6);
        Row("split above 5 %", o => o.Split > 0.05);
        Row("500 samples a second", o => o.Trial.Before.ImuRateHz < 600);
        Row("nothing changed", o => o.Trial.ChangeDb == 0);
        return 0;

        void Row(string name, Func<GroupOutcome, bool> of)
        {
            GroupOutcome[] some = [.. all.Where(of)];
            if (some.Length == 0)
            {
                return;
            }

            double[] errors = [.. some.Select(o => o.ErrorDb).Where(double.IsFinite).Select(Math.Abs).Order()];
            string At(double share) =>
                errors.Length == 0
                    ? "-"
                    : errors[Math.Min(errors.Length - 1, (int)(share * errors.Length))].ToString("0.00", CultureInfo.InvariantCulture);
            string Share(Func<GroupOutcome, bool> yes, GroupOutcome[] among) =>
                among.Length == 0 ? "-" : (100.0 * among.Count(yes) / among.Length).ToString("0", CultureInfo.InvariantCulture);
            GroupOutcome[] known = [.. some.Where(o => o.Answered)];
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"| {name} | {some.Length} | {Share(o => o.Answered, some)} | {At(0.5)} / {At(0.9)} / {At(1)} | "
                        + $"{Share(o => o.Held, known)} | {Share(o => o.Right, some)} | {some.Count(o => o.Reversed)} | "
                        + $"{Share(o => o.SpeedGiven, some)} | {some.Count(o => o.SpeedWrong)} |"
                )
            );
        }
    }

    private static int Option(string[] args, string name, int usual) =>
        Array.IndexOf(args, name) is >= 0 and int at ? int.Parse(args[at + 1], CultureInfo.InvariantCulture) : usual;
}

/// <summary>The result of one trial.</summary>
internal sealed record GroupOutcome(GroupTrial Trial, Comparison Comparison, double ErrorDb, double TrueDb, double Split, double TrueRpm)
{
    internal bool Answered => Comparison.Vibration.Change.IsKnown;

    internal bool Held => Comparison.Vibration.Change.Ci95?.Contains(Trial.ChangeDb) == true;

    internal bool Right =>
        Comparison.Vibration.Kind
        == (
            Trial.ChangeDb < 0 ? CallKind.Improved
            : Trial.ChangeDb > 0 ? CallKind.Worse
            : CallKind.NoClearChange
        );

    internal bool Reversed => Trial.ChangeDb != 0 && Comparison.Vibration.Kind == (Trial.ChangeDb < 0 ? CallKind.Worse : CallKind.Improved);

    internal bool SpeedGiven => Comparison.Before[0].Group?.Rpm.IsKnown == true;

    internal bool SpeedWrong => SpeedGiven && Math.Abs(Comparison.Before[0].Group!.Rpm.Value!.Value / TrueRpm - 1) > 0.06;

    internal static GroupOutcome Of(GroupTrial trial)
    {
        var (before, after) = trial.Make();
        Comparison comparison = JobComparison.Run(
            new JobFlights
            {
                Title = "Trial",
                Airframe = trial.Airframe,
                Before = [before.Flight],
                After = [after.Flight],
            }
        );
        int[] shared = [.. (comparison.Before[0].Group?.Counted ?? []).Intersect(comparison.After[0].Group?.Counted ?? [])];
        double base0 = comparison.Before[0].Group?.BaseHz ?? double.NaN,
            turns = 60 * base0 / before.Truth.Motors.Average(m => m.RpmMean);
        // Where a multiple of the speed was followed, its orders are multiples of the rotors'.
        int multiple = turns > 1.5 ? (int)Math.Round(turns) : 1;
        double truth = 20 * Math.Log10(Size(after.Truth, comparison.After[0]) / Size(before.Truth, comparison.Before[0]));
        double measured = comparison.Vibration.Change.Value ?? double.NaN;
        return new(
            trial,
            comparison,
            measured - truth,
            truth,
            Math.Max(Math.Abs(before.Truth.Split), Math.Abs(after.Truth.Split)),
            before.Truth.Motors.Average(m => m.RpmMean)
        );

        double Size(FlightTruth of, FlightAnalysis analysis) =>
            Math.Sqrt(
                of.Motors.Sum(m =>
                    m.Orders.Where(o => shared.Contains((int)(o.Order / multiple)) && o.Order % multiple == 0)
                        .Sum(o => Math.Pow(o.RmsMps2(analysis.Hover.Segments), 2))
                )
            );
    }

    internal string Line()
    {
        GroupResult? b = Comparison.Before[0].Group,
            a = Comparison.After[0].Group;
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{Trial.Number} {Trial.Airframe.Motors.Count}x{Trial.Airframe.Motors[0].Blades} {Trial.Before.ImuRateHz:0} Hz true "
                + $"{TrueRpm:0} rpm split {100 * Split:0.0} % {(Trial.WithCommands ? "cmd" : "-")} | base {60 * b?.BaseHz:0} "
                + $"{60 * a?.BaseHz:0} band {100 * b?.Band?.High:0.0} {100 * a?.Band?.High:0.0} orders "
                + $"{string.Join(',', b?.Counted ?? [])} | true {TrueDb:0.00} measured "
                + $"{Comparison.Vibration.Change.Value:0.00} ({Comparison.Vibration.Change.Ci95?.Low:0.0} "
                + $"{Comparison.Vibration.Change.Ci95?.High:0.0}) err {ErrorDb:0.00} {Comparison.Vibration.Kind} want "
                + $"{Trial.ChangeDb:0} {b?.TotalMps2.Value:0.00} | {(Answered ? b?.Rpm.Why : Comparison.Vibration.Why)}"
        );
    }
}
