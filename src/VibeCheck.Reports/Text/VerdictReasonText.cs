using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Turns the reasons of a verdict into sentences.</summary>
internal static class VerdictReasonText
{
    /// <summary>One sentence or clause; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            ChangeJudged j => Judged(j),
            FlightsNotComparable not => $"the flights cannot be compared: {ReasonText.Clause(not.Cause)}",
            StagesOutOfOrder dates => string.Create(
                CultureInfo.InvariantCulture,
                $"by the logs' clocks a flight given as before ({dates.BeforeUtc:yyyy-MM-dd HH:mm} UTC) was flown after one given as "
                    + $"after ({dates.AfterUtc:yyyy-MM-dd HH:mm} UTC)"
            ),
            StagesMayBeSwapped => "By the logs' own clocks the flights before were flown after those after: "
                + "if they were swapped in the job file, this answer is the wrong way round.",
            NothingToJudge => "These flights do not show whether it helped: neither rotor orders nor temperatures are known on both sides.",
            ChangeUnknown unknown => Grammar.Sentence($"{Name(unknown.Quantity)} is not known: {ReasonText.Clause(unknown.Cause)}"),
            NoClearChangeOf n => $"No clear change in {Subject(n.Quantity)}: {ReasonText.Of(n.Cause)}",
            OrderOneFollowsTilt t => FollowsTilt(t),
            SplitChanged s => Split(s),
            _ => Moved(cause),
        };

    /// <summary>How a quantity is named in a sentence.</summary>
    internal static string Subject(Quantity quantity) =>
        quantity switch
        {
            Quantity.Vibration => "vibration from the rotors",
            Quantity.MotorTemperature => "motor temperature",
            _ => "ESC temperature",
        };

    private static string? Moved(Reason cause) =>
        cause switch
        {
            RotorVibrationChanged v =>
                $"{(v.ByGroup ? "Vibration of all rotors together" : "Vibration from the rotors")} {(v.ChangeDb < 0 ? "fell" : "rose")} by "
                    + $"{Format.Number(Math.Abs(v.ChangeDb), 1)} dB {Format.SizeBracket(v.Ci95Db, v.ChangeDb < 0, 1)}, from "
                    + $"{Format.Mps2(v.BeforeMps2)} to {Format.Mps2(v.AfterMps2)}.",
            HottestUnitChanged h => $"The hottest {(h.Esc ? "ESC" : "motor")} now settles {Celsius(Math.Abs(h.ChangeC))} "
                + $"{(h.ChangeC < 0 ? "cooler" : "hotter")} "
                + $"{Format.SizeBracket(h.Ci95C, h.ChangeC < 0, 1)}: {Celsius(h.BeforeC)} above ambient before, {Celsius(h.AfterC)} "
                + $"after {Who(h)}.",
            OrdersChanged o => $"Orders that {(o.Fell ? "fell" : "rose")}: {Grammar.List([.. o.Orders.Select(Order)])}.",
            UnitsChanged u => $"{Lead(u)}: {Grammar.List([.. u.Units.Select(Unit)])}.",
            LevelsUnchanged =>
                "Broadband levels of acceleration show no clear change; they contain all vibration, including wind and control.",
            LevelsChanged l => $"Broadband levels of acceleration changed: {Grammar.List([.. l.Levels.Select(Level)])}. "
                + "They contain all vibration, including wind and control, so they do not decide the verdict.",
            AllVibrationChanged all =>
                $"Total vibration {Format.Moved(all.ChangeDb, 1, "dB")}, from {Size(all.BeforeMps2)} to {Size(all.AfterMps2)} m/s².",
            PartChanged part => Grammar.Sentence(
                $"{PartNames.Subject(part.Part)} {Format.Moved(part.ChangeDb, 1, "dB")}, from {Size(part.BeforeMps2)} to "
                    + $"{Size(part.AfterMps2)} m/s²"
            ),
            LoadSharesMoved shares => $"Load shares changed (100 % is an even share): {Grammar.List([.. shares.Motors.Select(Share)])}.",
            LoadShareJudged j => ShareJudged(j),
            _ => null,
        };

    private static string Judged(ChangeJudged j)
    {
        string unit = j.InDb ? "dB" : "°C",
            change = $"{Format.Signed(j.Change, 1)} {unit} {Format.Bracket(j.Ci95, 1)}";
        return j.Significance switch
        {
            Significance.Clear => $"{change}: significant, and above the threshold of {Format.Short(j.Matters)} {unit}.",
            Significance.TooSmall => $"{change}: significant, but below the threshold of {Format.Short(j.Matters)} {unit}.",
            Significance.NotClearAmongAll => $"{change}: not significant, because so many values are compared that chance alone makes some "
                + "change this much.",
            _ => $"{change}: not significantly different from zero; the smallest change that these flights could show is "
                + $"{Format.Number(j.SmallestShown, 1)} {unit}.",
        };
    }

    private static string ShareJudged(LoadShareJudged judged)
    {
        string change = Format.Change(Estimate.Around(judged.Change, judged.Half95), 3, "");
        return Math.Abs(judged.Change) <= judged.Half95
                ? $"{change}: not significantly different from zero; the smallest change that these flights could show is "
                    + $"{Format.Number(judged.Half95, 3)}."
            : Math.Abs(judged.Change) < judged.Matters
                ? $"{change}: significant, but below the threshold of {Format.Number(judged.Matters, 2)}."
            : $"{change}: significant, and above the threshold of {Format.Number(judged.Matters, 2)}.";
    }

    private static string FollowsTilt(OrderOneFollowsTilt t)
    {
        double one = Math.Abs(t.Ci95.Low),
            other = Math.Abs(t.Ci95.High);
        return $"Across the motors, order 1 {(t.DbPerDeg > 0 ? "fell" : "rose")} by {Format.Number(Math.Abs(t.DbPerDeg), 1)} dB per degree "
            + $"of tilt removed "
            + $"({Format.Range(new Interval(Math.Min(one, other), Math.Max(one, other)), 1)}).";
    }

    private static string Split(SplitChanged s)
    {
        string measured =
            $"The speed split between clockwise and counter-clockwise motors{(s.ByCommands ? ", from their commands," : "")} "
            + $"went from {Format.Percent(s.Before)} to {Format.Percent(s.After)}";
        return s is { PredictedBefore: double before, PredictedAfter: double after }
            ? $"{measured}; the survey predicts {Format.Percent(before)} to {Format.Percent(after)}: "
                + $"{(s.Explained == true ? "the tilts explain the change" : "the tilts do not explain the change")}."
            : $"{measured}.";
    }

    private static string Who(HottestUnitChanged h) =>
        h.HottestBefore == h.HottestAfter ? $"({h.HottestAfter})" : $"({h.HottestBefore}, then {h.HottestAfter})";

    private static string Lead(UnitsChanged u)
    {
        string units = u.Esc ? "ESCs" : "motors";
        return (u.ByLoad, u.Cooler) switch
        {
            (true, true) => $"Cooler {units}, because they carry less (no change at equal load)",
            (true, false) => $"Hotter {units}, only because they carry more (no change at equal load)",
            (false, true) => $"Cooler {units}",
            _ => $"Hotter {units}",
        };
    }

    private static string Unit(ChangedUnit unit) =>
        $"{unit.Motor} by {Celsius(Math.Abs(unit.ChangeC))} ({Format.SizeRange(unit.Ci95C, unit.ChangeC < 0, 1)}"
        + (unit.AtEqualLoadC is double own ? $"; at equal load {Format.Signed(own, 1)} °C)" : ")");

    private static string Order(ChangedOrder order) =>
        $"{order.Motor} ×{Format.Whole(order.Order)} by {Format.Number(Math.Abs(order.ChangeDb), 1)} dB "
        + $"{Format.SizeBracket(order.Ci95Db, order.ChangeDb < 0, 1)}";

    private static string Level(ChangedLevel level) =>
        $"{level.Channel} {Format.Signed(level.ChangeDb, 1)} dB {Format.Bracket(level.Ci95Db, 1)}";

    private static string Share(MotorShare m) => $"{m.Motor} {Format.Number(100 * m.Before, 0)} % to {Format.Number(100 * m.After, 0)} %";

    private static string Celsius(double c) => $"{Format.Number(c, 1)} °C";

    private static string Size(double mps2) => Format.Number(mps2, mps2 < 0.1 ? 3 : 2);

    private static string Name(Quantity quantity) =>
        quantity switch
        {
            Quantity.Vibration => "the change in vibration from the rotors",
            Quantity.MotorTemperature => "the change in motor temperature",
            _ => "the change in ESC temperature",
        };
}
