using Spectre.Console;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Tables;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Console;

/// <summary>A comparison on the console: the answer, the three calls, the motors, the next step.</summary>
public static class ComparisonSummary
{
    private static readonly TextColumn[] s_callColumns = [new("", 19, Gap: 0), new("", 27, Gap: 0), new("", 11, Gap: 0), new("", Gap: 0)];

    /// <summary>Writes the summary, as wide as the console.</summary>
    /// <param name="comparison">The comparison to show.</param>
    /// <param name="console">The console; it decides whether there is colour.</param>
    /// <param name="plain">Whether to write one fact per line, without colour and columns, for scripts and screen readers.</param>
    public static void Write(Comparison comparison, IAnsiConsole console, bool plain = false)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        ArgumentNullException.ThrowIfNull(console);
        comparison = Clockwise.Sorted(comparison);
        var page = new ConsolePage(console, plain);
        page.Paragraph(VerdictText.Sentence(comparison), style: new Style(decoration: Decoration.Bold));
        page.Blank();
        Calls(page, comparison);
        FlightSummary.Quality(page, QualityLines.Of(comparison));
        if (comparison.Motors.Any(HasSomething))
        {
            page.Blank();
            Motors(page, comparison);
        }

        if (comparison.Conditions.FirstOrDefault(c => c.Kind == ConditionKind.RotorSpeeds) is { } found)
        {
            page.Blank();
            page.Paragraph(ReasonText.Of(found.Why));
        }

        page.Blank();
        Next(page, comparison);
        if (FlightText.WithoutAirframe(comparison.Before[0]) is string without)
        {
            page.Blank();
            page.Paragraph(without);
        }
    }

    private static bool HasSomething(MotorComparison motor) => HasTilt(motor) || HasChange(motor);

    private static bool HasTilt(MotorComparison motor) => motor.TiltBefore is not null || motor.TiltAfter is not null;

    private static bool HasChange(MotorComparison motor) =>
        First(motor)?.ChangeDb.IsKnown == true || motor.MotorTemp.Change.IsKnown || motor.EscTemp.Change.IsKnown;

    private static void Calls(ConsolePage page, Comparison comparison)
    {
        Reason? said = null;
        foreach (
            (string name, Call call) in (IEnumerable<(string, Call)>)
                [
                    ("Vibration from the rotors", comparison.Vibration),
                    .. AllVibration(comparison),
                    ("Hottest motor, steady", comparison.MotorTemperature),
                    ("Hottest ESC, steady", comparison.EscTemperature),
                ]
        )
        {
            Call(page, name, call);
            if (call.Kind == CallKind.Unknown && call.Why != said && !page.Plain && !VerdictText.IsSaidAbove(comparison, call))
            {
                page.Paragraph(ReasonText.Full(call.Why), indent: 4, later: 4);
                said = call.Why;
            }
        }
    }

    /// <summary>The call on total vibration where its parts are known; else none.</summary>
    private static (string Name, Call Call)[] AllVibration(Comparison comparison) =>
        comparison.Parts.Count == 0 ? [] : [("Total vibration", comparison.AllVibration)];

    private static void Call(ConsolePage page, string name, Call call)
    {
        if (page.Plain)
        {
            page.Paragraph($"{name}: {Fact(call)}");
            return;
        }

        string word = $"{page.Sign(call.Kind)} {VerdictText.Short(call.Kind)}";
        string change = call.Change.Value is double value ? $"{Format.Signed(value, 1), 6} {call.ChangeUnit}" : "";
        string interval = call.Change.Ci95 is Interval ci ? $"({Format.SignedRange(ci, 1)})" : "";
        if (!page.Fits(ConsolePage.UsualColumns))
        {
            page.Paragraph(
                $"{word}: {char.ToLowerInvariant(name[0])}{name[1..]} {change.Trim()} {interval}",
                indent: 2,
                later: 4,
                new Style(ConsolePage.Colour(call.Kind).Foreground)
            );
            return;
        }

        page.Row(s_callColumns, new(word, ConsolePage.Colour(call.Kind)), name, change, interval);
    }

    private static void Motors(ConsolePage page, Comparison comparison)
    {
        if (page.Plain)
        {
            PlainMotors(page, comparison);
            return;
        }

        if (!comparison.Motors.Any(HasChange))
        {
            // A table would hold question marks only; the next step says why no motor is known.
            IEnumerable<string> tilts = comparison
                .Motors.Where(HasTilt)
                .Select(m => $"{m.Id} {TiltFormat.Change(m.TiltBefore, m.TiltAfter)}");
            page.Paragraph($"Tilt of the mounts (?: not read): {Grammar.List([.. tilts])}. What changed on each motor is not known.");
            return;
        }

        int id = Math.Max(5, comparison.Motors.Select(m => m.Id.Length).DefaultIfEmpty(0).Max());
        if (!page.Fits(id + 73))
        {
            NarrowMotors(page, comparison);
            Causes(page, comparison);
            return;
        }

        const int RangeColumns = 17;
        int more = page.SpareColumns >= 2 * RangeColumns ? RangeColumns : 0;
        TextTable table = page.Table([
            new("Motor", 5, Gap: 0),
            new("Tilt", 13),
            new("×1, dB", 24),
            new("Motor, °C", 10, IsRight: true, Gap: 0),
            new("", more, Gap: 0),
            new("same load", 11, IsRight: true, Gap: 0),
            new("ESC, °C", 9, IsRight: true, Gap: 0),
            new("", more, Gap: 0),
        ]);
        foreach (MotorComparison motor in comparison.Motors)
        {
            OrderChange? first = First(motor);
            CallKind call = first?.Call ?? CallKind.Unknown;
            Estimate change = first?.ChangeDb ?? Estimate.Unknown(new NotMeasured());
            table.Add(
                motor.Id,
                TiltFormat.Change(motor.TiltBefore, motor.TiltAfter),
                new($"{page.Sign(call)} {Bare(change), 5} {Range(change)}", ConsolePage.Colour(call)),
                new(Short(page, motor.MotorTemp), ConsolePage.Colour(motor.MotorTemp.Kind)),
                more > 0 ? " " + Range(motor.MotorTemp.Change) : "",
                SameLoad(motor),
                new(Short(page, motor.EscTemp), ConsolePage.Colour(motor.EscTemp.Kind)),
                more > 0 ? " " + Range(motor.EscTemp.Change) : ""
            );
        }

        page.Write(table);
        page.Line(
            $"  {page.Sign(CallKind.Improved)} improved  {page.Sign(CallKind.Worse)} worse  {page.Sign(CallKind.NoClearChange)} no "
                + $"clear change  ? unknown; 95 % intervals in brackets"
        );
        NotClear(page, comparison);
        Causes(page, comparison);
    }

    /// <summary>Why an interval without zero may stand beside "no clear change", where the table shows one.</summary>
    private static void NotClear(ConsolePage page, Comparison comparison)
    {
        bool IsOdd(CallKind call, Estimate change) => call == CallKind.NoClearChange && change.Ci95 is Interval ci && !ci.Contains(0);
        if (comparison.Motors.Any(m => First(m) is { } first && IsOdd(first.Call, first.ChangeDb)))
        {
            page.Paragraph(VerdictText.NotClearAlthoughIntervalExcludesZero, indent: 2, later: 2);
        }
    }

    private static void Causes(ConsolePage page, Comparison comparison)
    {
        if (RiseCauseText.Causes(comparison) is { Count: > 0 } causes)
        {
            page.Blank();
            page.Paragraph($"{string.Join(" ", causes)} (Same load: the change with the rise corrected to the load before.)");
        }
    }

    /// <summary>The same as a list, for a console without room for the table.</summary>
    private static void NarrowMotors(ConsolePage page, Comparison comparison)
    {
        foreach (MotorComparison motor in comparison.Motors)
        {
            OrderChange? first = First(motor);
            page.Paragraph($"{motor.Id}: tilt {TiltFormat.Change(motor.TiltBefore, motor.TiltAfter)}", indent: 2, later: 4);
            page.Paragraph(
                $"×1 {page.Sign(first?.Call ?? CallKind.Unknown)} "
                    + $"{(first?.ChangeDb.IsKnown == true ? Bare(first.ChangeDb) + " dB " + Range(first.ChangeDb) : "")}",
                indent: 4,
                later: 6
            );
            page.Paragraph($"motor {Short(page, motor.MotorTemp).Trim()}, ESC {Short(page, motor.EscTemp).Trim()} °C", indent: 4, later: 6);
        }

        page.Paragraph(
            $"{page.Sign(CallKind.Improved)} improved, {page.Sign(CallKind.Worse)} worse, {page.Sign(CallKind.NoClearChange)} no clear "
                + $"change, ? unknown; 95 % intervals in brackets.",
            indent: 2,
            later: 2
        );
    }

    private static string SameLoad(MotorComparison motor) => motor.MotorRiseAtEqualLoadC.Value is double own ? Format.Signed(own, 1) : "";

    private static void PlainMotors(ConsolePage page, Comparison comparison)
    {
        foreach (MotorComparison motor in comparison.Motors)
        {
            OrderChange? first = First(motor);
            page.Paragraph($"{motor.Id} tilt: {TiltFormat.Change(motor.TiltBefore, motor.TiltAfter)}");
            page.Paragraph(
                first?.ChangeDb.IsKnown == true
                    ? $"{motor.Id} order 1: {VerdictText.Short(first.Call)}, {Format.Change(first.ChangeDb, 1, "dB")}"
                    : $"{motor.Id} order 1: {VerdictText.Short(CallKind.Unknown)}"
            );
            page.Paragraph($"{motor.Id} motor temperature: {Fact(motor.MotorTemp)}");
            if (motor.MotorRiseAtEqualLoadC.IsKnown)
            {
                string cause = RiseCauseText.Short(motor.MotorTemp.Kind, motor.MotorRiseCause);
                page.Paragraph(
                    $"{motor.Id} motor temperature at equal load: "
                        + $"{Format.Change(motor.MotorRiseAtEqualLoadC, 1, "°C")}{(cause.Length > 0 ? ", " + cause : "")}"
                );
            }

            page.Paragraph($"{motor.Id} ESC temperature: {Fact(motor.EscTemp)}");
        }
    }

    private static string Fact(Call call) =>
        call.Change.IsKnown
            ? $"{VerdictText.Short(call.Kind)}, {Format.Change(call.Change, 1, call.ChangeUnit)}"
            : $"{VerdictText.Short(call.Kind)}. {ReasonText.Full(call.Why)}";

    private static void Next(ConsolePage page, Comparison comparison)
    {
        if (NextStepText.Of(comparison) is [string next, ..])
        {
            page.Paragraph($"Next: {Grammar.Sentence(next)}", later: 6);
        }

        page.Paragraph(Cautions.Bench);
    }

    private static string Short(ConsolePage page, Call call) =>
        call.Change.Value is double value ? $"{page.Sign(call.Kind)} {Format.Signed(value, 1), 5}" : "?      ";

    private static string Bare(Estimate change) => change.Value is double value ? Format.Signed(value, 1) : "";

    private static string Range(Estimate change) => change.Ci95 is Interval ci ? $"({Format.SignedRange(ci, 1)})" : "";

    private static OrderChange? First(MotorComparison motor) => motor.Orders.FirstOrDefault(o => o.Order == 1);
}
