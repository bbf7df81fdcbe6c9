using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>The verdict as sentences, the same on page, console and in JSON.</summary>
public static class VerdictText
{
    private static readonly Subject _vibration = new("vibration from the rotors", "vibration", "fell by", "rose by", "");
    private static readonly Subject _group = new("vibration of all rotors together", "vibration", "fell by", "rose by", "");
    private static readonly Subject _motors = new(
        "the hottest motor",
        "motor temperatures",
        "now settles",
        "now settles",
        " cooler",
        " hotter"
    );
    private static readonly Subject _escs = new("the hottest ESC", "ESC temperatures", "now settles", "now settles", " cooler", " hotter");

    /// <summary>Explains a table in which "no clear change" stands beside an interval that leaves out zero.</summary>
    internal const string NotClearAlthoughIntervalExcludesZero =
        "A value can show no clear change although its interval leaves out zero: the change is too small to matter, or so many values are "
        + "compared that chance alone makes some change this much.";

    /// <summary>The one sentence that a customer can repeat.</summary>
    public static string Sentence(Comparison comparison)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        return comparison.Verdict == Verdict.NotComparable
            ? NotComparable(comparison.Reasons)
            : $"{Lead(comparison)}: {(NothingKnown(comparison) ? Missing(comparison) : Clauses(comparison))}{Harder(comparison)}.";
    }

    /// <summary>The verdict in one to three words, for a heading.</summary>
    public static string Short(Verdict verdict) =>
        verdict switch
        {
            Verdict.Improved => "Improved",
            Verdict.NoClearChange => "No clear change",
            Verdict.Mixed => "Mixed",
            Verdict.Worse => "Worse",
            Verdict.NotComparable => "Not comparable",
            _ => throw new ArgumentOutOfRangeException(nameof(verdict), verdict, "is no verdict"),
        };

    /// <summary>The call in one to three words: always one of these four texts.</summary>
    public static string Short(CallKind call) =>
        call switch
        {
            CallKind.Improved => "improved",
            CallKind.NoClearChange => "no clear change",
            CallKind.Worse => "worse",
            CallKind.Unknown => "unknown",
            _ => throw new ArgumentOutOfRangeException(nameof(call), call, "is no call"),
        };

    /// <summary>Whether the reason of an unknown call is the one that the answer itself gives: flights that cannot be compared.</summary>
    internal static bool IsSaidAbove(Comparison comparison, Call call) =>
        comparison.Verdict == Verdict.NotComparable && call.Why is FlightsNotComparable;

    /// <summary>The one sentence about a single flight.</summary>
    public static string Sentence(FlightAnalysis flight)
    {
        ArgumentNullException.ThrowIfNull(flight);
        if (flight.Hover.Segments.Count == 0)
        {
            return $"No steady hover was found. {ReasonText.Full(flight.Hover.Why)}";
        }

        string hover = $"In {Format.Number(flight.Hover.SecondsUsed, 0)} s of hover";
        return flight.VibrationMps2.Value is double size
            ? $"{hover} the vibration {(flight.VibrationIsOfGroup ? "of all rotors together" : "from the rotors")} was "
                + $"{Format.Amount(flight.VibrationMps2, Format.DecimalsFor(size), "m/s² rms")}"
                + $"{(flight.VibrationIsOfGroup ? StrongestOfGroup(flight.Group!) : Strongest(flight))}."
            : $"{hover} the vibration from the rotors is not known: {ReasonText.Clause(flight.VibrationMps2.Why)}.";
    }

    // A survey shows that mounts were shimmed; without one the tool does not know what was done between the flights.
    private static string Lead(Comparison comparison) =>
        (comparison.Verdict, comparison.Survey is not null) switch
        {
            (Verdict.Improved, true) => "The shims helped",
            (Verdict.Improved, false) => "The aircraft improved",
            (Verdict.Worse, true) => "The shims did not help",
            (Verdict.Worse, false) => "The aircraft got worse",
            (Verdict.Mixed, _) => "A mixed result",
            _ when NothingKnown(comparison) => "These flights cannot show whether it helped",
            _ => "No clear change",
        };

    private static bool NothingKnown(Comparison comparison) =>
        (comparison.Vibration.Kind, comparison.MotorTemperature.Kind, comparison.EscTemperature.Kind)
        == (CallKind.Unknown, CallKind.Unknown, CallKind.Unknown);

    /// <summary>What is missing, where nothing is known: each reason once.</summary>
    private static string Missing(Comparison comparison) =>
        string.Join(
            "; ",
            new[] { comparison.Vibration, comparison.MotorTemperature, comparison.EscTemperature }
                .Select(c => ReasonText.Clause(c.Why))
                .Distinct()
        );

    private static string NotComparable(IReadOnlyList<Reason> reasons) =>
        reasons switch
        {
            [] => "These flights cannot be compared.",
            [var first, ..] => $"These flights cannot be compared. {ReasonText.Full(first)}",
        };

    private static string Clauses(Comparison comparison)
    {
        (Subject Subject, Call Call)[] all =
        [
            (comparison.VibrationIsOfGroup ? _group : _vibration, comparison.Vibration),
            (_motors, comparison.MotorTemperature),
            (_escs, comparison.EscTemperature),
        ];
        string[] Of(CallKind kind, Func<Subject, Call, string> words) =>
            [.. all.Where(one => one.Call.Kind == kind).Select(one => words(one.Subject, one.Call))];
        string better = Grammar.List([
            .. Of(CallKind.Improved, (s, c) => s.Clause(c)),
            .. Whole(comparison, CallKind.Improved),
            .. Parts(comparison, CallKind.Improved),
        ]);
        string worse = Grammar.List([
            .. Of(CallKind.Worse, (s, c) => s.Clause(c)),
            .. Whole(comparison, CallKind.Worse),
            .. Parts(comparison, CallKind.Worse),
        ]);
        string moved = better.Length > 0 && worse.Length > 0 ? $"{better}, but {worse}" : better + worse;
        string same = Grammar.List(Of(CallKind.NoClearChange, (s, c) => s.Still(c)));
        same = same.Length > 0 && moved.Length > 0 ? $"no clear change: {same}" : same;
        string[] parts = [moved, same, NotKnown(Of(CallKind.Unknown, (s, _) => s.Plain)) + Fault([.. all.Select(one => one.Call)])];
        return string.Join("; ", parts.Where(part => part.Length > 0));
    }

    /// <summary>The motors that work harder for the same hover, hardest first, at most two.</summary>
    private static string Harder(Comparison comparison)
    {
        MotorComparison[] harder =
        [
            .. comparison.Motors.Where(m => m.LoadShare.IsHarder).OrderByDescending(m => m.LoadShare.After.Value).Take(2),
        ];
        return harder.Length == 0 ? "" : $"; {Grammar.List([.. harder.Select(Harder)])}";
    }

    private static string Harder(MotorComparison motor) =>
        $"{motor.Id} works harder for the same hover ({Percent(motor.LoadShare.Before)} % of an even share before, "
        + $"{Percent(motor.LoadShare.After)} % after)";

    private static string Percent(Estimate share) => Format.Number(100 * share.Value!.Value, 0);

    /// <summary>The clause for total vibration; empty unless its call is <paramref name="kind"/>.</summary>
    private static string[] Whole(Comparison comparison, CallKind kind) =>
        comparison.AllVibration.Kind == kind ? [$"total vibration {Format.Moved(comparison.AllVibration.Change, 1, "dB")}"] : [];

    /// <summary>The clauses for the parts other than the rotors' orders whose call is <paramref name="kind"/>.</summary>
    private static string[] Parts(Comparison comparison, CallKind kind) =>
        [.. comparison.Parts.Where(p => p.Call == kind && p.Kind != VibrationPartKind.RotorOrders).Select(PartNames.Moved)];

    /// <summary>The log fault that made a quantity unknown, as a clause to follow "not known"; empty where there is none.</summary>
    private static string Fault(Call[] calls) =>
        calls.Where(c => c.Kind == CallKind.Unknown).Select(c => ReasonText.FaultOf(c.Why)).FirstOrDefault(t => t is not null)
            is string text
            ? $", because {Grammar.Because(text)}"
            : "";

    private static string NotKnown(string[] plain) =>
        plain switch
        {
            [] => "",
            ["vibration"] => "vibration is not known",
            _ => Grammar.List(plain) + " are not known",
        };

    private static string StrongestOfGroup(GroupResult group) =>
        group.Orders.Where(o => o.RmsMps2.IsKnown).MaxBy(o => o.RmsMps2.Value) is { } strongest
            ? $", at about {Format.Number(group.Rpm.Value!.Value, 0)} rpm; the strongest order is ×{Format.Whole(strongest.Order)}"
            : "";

    // Motors that could not be separated are named together: none of them alone is known to be the strongest.
    private static string Strongest(FlightAnalysis flight)
    {
        var (who, size) = flight.Motors.SelectMany(m => m.Orders.Select(o => Line(m, o))).DefaultIfEmpty().MaxBy(line => line.Size);
        return size > 0 ? $"; the strongest whole order is {who}" : "";
    }

    private static (string Who, double Size) Line(MotorAnalysis motor, OrderLevel order)
    {
        string name = $"×{Format.Whole(order.Order)}";
        return order.Separable || order.Group.Count == 0
            ? ($"{motor.Id} {name}", order.RmsMps2.Value ?? 0)
            : ($"{name} of {Grammar.List([.. order.Group])} together", order.GroupMps2?.Value ?? 0);
    }

    private sealed record Subject(string Name, string Plain, string Less, string More, string AfterLess, string AfterMore = "")
    {
        internal string Clause(Call call) =>
            (call.Kind, call.Change.Value) switch
            {
                (CallKind.Improved, double) => $"{Name} {Less} {Size(call, AfterLess)}",
                (CallKind.Worse, double) => $"{Name} {More} {Size(call, AfterMore)}",
                (CallKind.Improved, null) => $"{Name} improved",
                (CallKind.Worse, null) => $"{Name} got worse",
                (CallKind.NoClearChange, _) => $"no clear change: {Still(call)}",
                _ => NotKnown([Plain]),
            };

        // A fall of 4.1 dB is written without a minus sign, and so are the ends of its interval.
        private static string Size(Call call, string after)
        {
            bool turned = call.Change.Value < 0;
            double size = Math.Abs(call.Change.Value!.Value);
            string text = $"{Format.Number(size, 1)} {call.ChangeUnit}{after}";
            return call.Change.Ci95 is Interval ci ? $"{text} ({Format.Range(turned ? new Interval(-ci.High, -ci.Low) : ci, 1)})" : text;
        }

        /// <summary>The quantity with its change, without a word such as "fell" or "cooler".</summary>
        internal string Still(Call call) => call.Change.IsKnown ? $"{Name} {Format.Change(call.Change, 1, call.ChangeUnit)}" : Name;
    }
}
