using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Pages;

/// <summary>The numbers of a comparison as tables, so that what a figure shows can be copied.</summary>
internal static class ComparisonTables
{
    internal static Markup Orders(Comparison comparison)
    {
        int decimals = Format.DecimalsFor(
            comparison
                .Motors.SelectMany(m => m.Orders)
                .Select(o => Math.Max(o.BeforeMps2.Value ?? 0, o.AfterMps2.Value ?? 0))
                .DefaultIfEmpty(0)
                .Max() / 10
        );
        var rows = comparison.Motors.SelectMany(m =>
            m.Orders.Select(o =>
                (IReadOnlyList<Markup>)
                    [
                        Table.Text($"{m.Id} ×{Format.Whole(o.Order)}"),
                        Table.Text(Format.Amount(o.BeforeMps2, decimals, "")),
                        Table.Text(Format.Amount(o.AfterMps2, decimals, "")),
                        Table.Text(Format.Change(o.ChangeDb, 1, "")),
                        CallWord(o.Call),
                    ]
            )
        );
        return Table.Of(["Motor, order", "#Before, m/s²", "#After, m/s²", "#Change, dB", "Call"], rows);
    }

    internal static Markup Temperatures(Comparison comparison)
    {
        (string, Call, Estimate, RiseCause)[] Units(MotorComparison m) =>
            [("motor", m.MotorTemp, m.MotorRiseAtEqualLoadC, m.MotorRiseCause), ("ESC", m.EscTemp, m.EscRiseAtEqualLoadC, m.EscRiseCause)];
        var rows = comparison.Motors.SelectMany(m =>
            Units(m)
                .Select(one =>
                    (IReadOnlyList<Markup>)
                        [
                            Table.Text($"{m.Id} {one.Item1}"),
                            Amount(one.Item2.Before),
                            Amount(one.Item2.After),
                            Table.Text(Format.Change(one.Item2.Change, 1, "")),
                            CallWord(one.Item2.Kind),
                            Table.Text(Format.Change(one.Item3, 1, "")),
                            Table.Text(
                                Grammar.Sentence(
                                    string.Join(
                                        "; ",
                                        new[] { RiseCauseText.Short(one.Item2.Kind, one.Item4), ReasonText.Clause(one.Item2.Why) }.Where(
                                            t => t.Length > 0
                                        )
                                    )
                                )
                            ),
                        ]
                )
        );
        return Table.Of(["Unit", "#Before, °C", "#After, °C", "#Change, °C", "Call", "#At equal load, °C", "~Why"], rows);
    }

    internal static Markup Levels(Comparison comparison)
    {
        var rows = comparison.Levels.Select(l =>
            (IReadOnlyList<Markup>)
                [
                    Table.Text(ChannelNames.Of(l.Channel)),
                    Table.Text(l.Unit),
                    Table.Text(Format.Amount(l.BeforeRms, 3, "")),
                    Table.Text(Format.Amount(l.AfterRms, 3, "")),
                    Table.Text(Format.Change(l.ChangeDb, 1, "")),
                    CallWord(l.Call),
                ]
        );
        return Table.Of(["Channel", "Unit", "#Before, rms", "#After, rms", "#Change, dB", "Call"], rows);
    }

    internal static Markup Survey(Comparison comparison)
    {
        var rows = comparison.Motors.Select(m =>
            (IReadOnlyList<Markup>)
                [
                    Table.Text(m.Id),
                    Tilt(m.TiltBefore, across: true),
                    Tilt(m.TiltBefore, across: false),
                    Tilt(m.TiltAfter, across: true),
                    Tilt(m.TiltAfter, across: false),
                ]
        );
        return Table.Of(["Motor", "Found, across", "Found, along", "Left, across", "Left, along"], rows);
    }

    internal static Markup Speeds(Comparison comparison)
    {
        var rows = comparison.Motors.Select(m =>
            (IReadOnlyList<Markup>)
                [
                    Table.Text(m.Id),
                    Pair(m.RpmBefore, m.RpmAfter, 0),
                    Pair(m.LoadShareBefore, m.LoadShareAfter, 2),
                    Pair(m.CurrentBeforeA, m.CurrentAfterA, 1),
                ]
        );
        return Table.Of(["Motor", "Speed, rpm", "Load share", "Current, A"], rows);
    }

    /// <summary>The shims that the as-found readings call for; empty without a survey or without bolts in the airframe file.</summary>
    internal static Markup Shims(Comparison comparison)
    {
        if (comparison is not { Survey: Survey survey } || comparison.Airframe.Motors.All(m => comparison.Airframe.BoltsOf(m) is null))
        {
            return Markup.Empty;
        }

        ShimPlan plan = ShimPlan.Of(comparison.Airframe, survey);
        bool noted = survey.Fitted.Count > 0;
        var rows = plan.Motors.Select(m =>
            (IReadOnlyList<Markup>)
                [
                    Table.Text(m.Motor.Id),
                    Table.Text(ShimPlanText.Short(m)),
                    Table.Text(m.Stacks is null ? "none" : Stacks(m.Stacks)),
                    .. noted ? new[] { Table.Text(Fitted(survey, m)), Table.Text(Leaves(survey, m, comparison)) } : [],
                    Table.Text(ReasonText.Full(m.Why)),
                ]
        );
        string[] fittedColumns = noted ? ["Noted as fitted, mm", "Should leave"] : [];
        string lead = noted
            ? "What was fitted is as noted in the survey; the readings after the work, above, show what it did."
            : "The survey does not note what was fitted (column shims); the readings after the work show what it did.";
        return Markup.Of(
            $"""
            <h3>Shims that the as-found readings call for</h3>
            <p class="lead">From the kit of the airframe file, bolt by bolt as seen from the hub looking out. {lead}</p>
            {Table.Of(["Motor", "Plan", "Shims under bolts, mm", .. fittedColumns, "~Why"], rows)}
            """
        );
    }

    private static string Fitted(Survey survey, MotorShims m) =>
        survey.Fitted.FirstOrDefault(f => f.MotorId == m.Motor.Id)?.Text ?? "not noted";

    private static string Leaves(Survey survey, MotorShims m, Comparison comparison) =>
        survey.Fitted.FirstOrDefault(f => f.MotorId == m.Motor.Id) is FittedShims fitted
        && ShimPlanText.Leaves(fitted, comparison.Airframe, survey) is double deg
            ? $"{Format.Number(deg, 2)}°"
            : "";

    private static string Stacks(ShimStacks stacks) =>
        string.Join("; ", stacks.Bolts.Where(b => b.StackMm.Count > 0).Select(b => $"{b.Bolt.Place} {ShimPlanText.Stack(b, inch: false)}"));

    private static Markup Pair(Estimate before, Estimate after, int decimals) =>
        Table.Text($"{Format.Amount(before, decimals, "")} → {Format.Amount(after, decimals, "")}");

    internal static Markup Conditions(Comparison comparison)
    {
        var rows = comparison.Conditions.Select(c =>
            (IReadOnlyList<Markup>)
                [
                    Table.Text(Grammar.Capital(ConditionText.Name(c.Kind))),
                    Table.Text(ConditionText.Of(c.Before) ?? Format.NotKnown),
                    Table.Text(ConditionText.Of(c.After) ?? Format.NotKnown),
                    Table.Text(c.Why is AmbientNotNeeded ? "not needed" : Matched(c.Matched)),
                    Table.Text(ReasonText.Full(c.Why)),
                ]
        );
        return Table.Of(["Condition", "Before", "After", "Alike", "~What was done about it"], rows);
    }

    internal static Markup CallWord(CallKind call) => Markup.Of($"""<span class="call {call.Code()}">{VerdictText.Short(call)}</span>""");

    internal static string Matched(bool? matched) =>
        matched switch
        {
            true => "✓ yes",
            false => "✗ no",
            null => "? " + Format.NotKnown,
        };

    private static Markup Amount(double? value) => Table.Text(value is double v ? Format.Number(v, 1) : Format.NotKnown);

    // The side is written instead of a sign, as it is used at the bench.
    private static Markup Tilt(MotorTilt? tilt, bool across)
    {
        Estimate? known = across ? tilt?.AcrossDeg : tilt?.AlongDeg;
        if (known?.Value is not double value)
        {
            return Table.Text("not read");
        }

        string side =
            Math.Abs(value) < 0.005 ? ""
            : across ? (value > 0 ? " right low" : " left low")
            : value > 0 ? " out low"
            : " in low";
        string uncertainty = known.Ci95 is Interval ci ? $" ± {Format.Number(ci.Width / 2, 2)}" : "";
        return Table.Text($"{Format.Number(Math.Abs(value), 2)}{uncertainty}°{side}");
    }
}
