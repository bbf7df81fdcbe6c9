using Spectre.Console;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Tables;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Console;

/// <summary>One flight on the console: the answer, three lines, the motors, the findings, the next step.</summary>
public static class FlightSummary
{
    private static readonly int[] _ordersShown = [1, 2, 3];

    private static readonly TextColumn[] s_factColumns =
    [
        new("", 27, Gap: 0),
        new("", 6, IsRight: true, Gap: 0),
        new("", 5, Gap: 1),
        new("", 18, Gap: 1),
        new("", Gap: 1),
    ];

    /// <summary>Writes the summary, as wide as the console.</summary>
    /// <param name="flight">The flight to show.</param>
    /// <param name="console">The console; it decides whether there is colour.</param>
    /// <param name="plain">Whether to write one fact per line, without colour and columns, for scripts and screen readers.</param>
    public static void Write(FlightAnalysis flight, IAnsiConsole console, bool plain = false)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ArgumentNullException.ThrowIfNull(console);
        flight = Clockwise.Sorted(flight);
        var page = new ConsolePage(console, plain);
        page.Paragraph(VerdictText.Sentence(flight), style: new Style(decoration: Decoration.Bold));
        page.Blank();
        Line(
            page,
            flight.VibrationIsOfGroup ? "Vibration, all rotors" : "Vibration from the rotors",
            flight.VibrationMps2,
            Format.DecimalsFor(flight.VibrationMps2.Value ?? 1),
            "m/s²",
            ""
        );
        Hottest(page, "Hottest motor, steady", flight, m => m.MotorTemp.RiseSteadyC);
        Hottest(page, "Hottest ESC, steady", flight, m => m.EscTemp.RiseSteadyC);
        if (flight is { VibrationIsOfGroup: true, Group: { } group } && group.Orders.Any(o => o.RmsMps2.IsKnown))
        {
            int decimals = Format.DecimalsFor(group.TotalMps2.Value ?? 1);
            IEnumerable<string> orders = group
                .Orders.Where(o => o.RmsMps2.IsKnown)
                .Select(o => $"×{Format.Whole(o.Order)} {Fact(o.RmsMps2, decimals, "m/s²")}");
            page.Paragraph(
                $"Of all rotors together, by order: {Grammar.List([.. orders])}.",
                indent: page.Plain ? 0 : 2,
                later: page.Plain ? 0 : 4
            );
        }

        if (Rest(flight) is string rest)
        {
            page.Paragraph(rest, indent: page.Plain ? 0 : 2, later: page.Plain ? 0 : 4);
        }

        Quality(page, QualityLines.Of(flight));
        LogWarnings(page, FlightText.LogWarnings(flight));
        page.Blank();
        Motors(page, flight);
        Origins(page, flight);
        Findings(page, flight);
        if (ScaleText.Of(flight, []) is string scale)
        {
            page.Blank();
            page.Paragraph(scale);
        }

        if (FlightText.WithoutAirframe(flight) is string without)
        {
            page.Blank();
            page.Paragraph(without);
        }
    }

    /// <summary>Warnings from reading the logs.</summary>
    internal static void LogWarnings(ConsolePage page, IReadOnlyList<string> warnings) => Listed(page, "How the logs were read", warnings);

    /// <summary>Total vibration and its parts, where more than a tenth of its mean square is not rotor orders; else null.</summary>
    private static string? Rest(FlightAnalysis flight)
    {
        if (flight.Accounting is not { TotalMps2.IsKnown: true } account || account.Part(VibrationPartKind.RotorOrders).Share is not < 0.9)
        {
            return null;
        }

        string parts = Grammar.List([
            .. account
                .Parts.Where(p => p.Share > 0.02)
                .OrderByDescending(p => p.Share)
                .Select(p => $"{PartNames.Name(p.Kind)} {Format.Number(100 * p.Share!.Value, 0)} %"),
        ]);
        return $"Total vibration {Fact(account.TotalMps2, Format.DecimalsFor(account.TotalMps2.Value!.Value), "m/s²")}: of its mean square "
            + $"{parts}.";
    }

    /// <summary>Faults of the logs, near the answer.</summary>
    internal static void Quality(ConsolePage page, IReadOnlyList<string> lines) => Listed(page, "Faults of the logs", lines);

    /// <summary>Lines under a heading; nothing where there are none.</summary>
    private static void Listed(ConsolePage page, string heading, IReadOnlyList<string> lines)
    {
        if (lines.Count == 0)
        {
            return;
        }

        page.Blank();
        page.Paragraph(heading, style: new Style(decoration: Decoration.Bold));
        foreach (string line in lines)
        {
            page.Paragraph(line, indent: page.Plain ? 0 : 2, later: page.Plain ? 0 : 4);
        }
    }

    /// <summary>Says so where speeds or load shares do not come from the speeds that the ESCs reported.</summary>
    private static void Origins(ConsolePage page, FlightAnalysis flight)
    {
        foreach (FlightWarning warning in flight.Warnings.Where(w => w.Code is "speeds-from-vibration" or "trim-from-commands"))
        {
            page.Paragraph(ReasonText.Of(warning.Cause));
            page.Blank();
        }
    }

    private static void Hottest(ConsolePage page, string name, FlightAnalysis flight, Func<MotorAnalysis, Estimate> of)
    {
        MotorAnalysis? hottest = flight.Motors.Where(m => of(m).IsKnown).MaxBy(m => of(m).Value);
        if (hottest is null && flight.Motors.Count > 0 && flight.Motors.All(m => of(m).Why is TemperatureNotLogged))
        {
            string unit = of(flight.Motors[0]).Why is TemperatureNotLogged { Esc: true } ? "ESC" : "motor";
            page.Paragraph($"{name}: {Format.NotKnown}. The log has no {unit} temperatures.", indent: page.Plain ? 0 : 2, later: 4);
            return;
        }

        Estimate amount = hottest is null ? flight.Motors.Select(of).FirstOrDefault(Estimate.Unknown(new NoMotorTelemetry())) : of(hottest);
        Line(page, name, amount, 1, "°C", hottest is null ? "" : $"{hottest.Id}, above ambient");
    }

    private static void Line(ConsolePage page, string name, Estimate amount, int decimals, string unit, string who)
    {
        if (amount.Value is not double value)
        {
            page.Paragraph($"{name}: {Format.NotKnown}. {ReasonText.Full(amount.Why)}", indent: page.Plain ? 0 : 2, later: 4);
            return;
        }

        if (page.Plain)
        {
            page.Paragraph($"{name}: {Format.Amount(amount, decimals, unit)}{(who.Length > 0 ? ", " + who : "")}");
            return;
        }

        string interval = amount.Ci95 is Interval ci ? $"({Format.Range(ci, decimals)})" : "(no interval)";
        if (!page.Fits(ConsolePage.UsualColumns))
        {
            page.Paragraph(
                $"{name}: {Format.Number(value, decimals)} {unit} {interval}{(who.Length > 0 ? ", " + who : "")}",
                indent: 2,
                later: 4
            );
            return;
        }

        page.Row(s_factColumns, name, Format.Number(value, decimals), unit, interval, who);
    }

    private static void Motors(ConsolePage page, FlightAnalysis flight)
    {
        if (
            !flight.Motors.Any(m =>
                m.RpmMean.IsKnown
                || m.LoadShare.IsKnown
                || m.Orders.Any(o => o.RmsMps2.IsKnown || o.GroupMps2 is not null)
                || m.MotorTemp.RiseSteadyC.IsKnown
                || m.EscTemp.RiseSteadyC.IsKnown
            )
        )
        {
            return;
        }

        int decimals = Format.DecimalsFor(
            flight.Motors.SelectMany(m => m.Orders).Select(o => o.RmsMps2.Value ?? 0).DefaultIfEmpty(0).Max()
        );
        if (page.Plain)
        {
            PlainMotors(page, flight, decimals);
            return;
        }

        int id = Math.Max(5, flight.Motors.Select(m => m.Id.Length).DefaultIfEmpty(0).Max());
        if (!page.Fits(id + 61))
        {
            NarrowMotors(page, flight, decimals);
            return;
        }

        int[] shown = [.. _ordersShown, .. flight.Motors[0].Orders.Select(o => o.Order).Except(_ordersShown).Take(page.SpareColumns / 8)];
        TextTable table = page.Table([
            new("Motor", 5, Gap: 0),
            new("rpm", 6, IsRight: true),
            new("Load", 5, IsRight: true),
            .. shown.Select(k => new TextColumn("×" + Format.Whole(k), 6, IsRight: true)),
            new("Motor, °C", 9, IsRight: true),
            new("ESC, °C", 7, IsRight: true),
        ]);
        foreach (MotorAnalysis motor in flight.Motors)
        {
            table.Add([
                motor.Id,
                Cell(motor.RpmMean, 0),
                Cell(motor.LoadShare, 2),
                .. shown.Select(k => (TextCell)Size(motor, k, decimals)),
                Cell(motor.MotorTemp.RiseSteadyC, 1),
                Cell(motor.EscTemp.RiseSteadyC, 1),
            ]);
        }

        page.Write(table);
        Legend(page);
    }

    private static void Legend(ConsolePage page)
    {
        page.Paragraph(
            "×1 ×2 ×3: vibration once, twice, three times per turn, m/s² rms. Load: 1.00 is an even share. Motor, ESC: "
                + "steady rise above ambient. ?: not known; the report says why.",
            indent: 2,
            later: 2
        );
        page.Blank();
    }

    /// <summary>The same as a list, for a console without room for the table.</summary>
    private static void NarrowMotors(ConsolePage page, FlightAnalysis flight, int decimals)
    {
        foreach (MotorAnalysis motor in flight.Motors)
        {
            page.Paragraph($"{motor.Id}: {Cell(motor.RpmMean, 0)} rpm, load {Cell(motor.LoadShare, 2)}", indent: 2, later: 4);
            page.Paragraph(
                string.Join("  ", _ordersShown.Select(k => $"×{Format.Whole(k)} {Size(motor, k, decimals)}")),
                indent: 4,
                later: 4
            );
            page.Paragraph($"motor {Cell(motor.MotorTemp.RiseSteadyC, 1)}, ESC {Cell(motor.EscTemp.RiseSteadyC, 1)}", indent: 4, later: 4);
        }

        Legend(page);
    }

    private static void PlainMotors(ConsolePage page, FlightAnalysis flight, int decimals)
    {
        foreach (MotorAnalysis motor in flight.Motors)
        {
            page.Paragraph($"{motor.Id} speed: {Fact(motor.RpmMean, 0, "rpm")}");
            page.Paragraph($"{motor.Id} load share: {Fact(motor.LoadShare, 2, "")}");
            foreach (OrderLevel order in motor.Orders.Where(o => _ordersShown.Contains(o.Order)))
            {
                page.Paragraph($"{motor.Id} order {Format.Whole(order.Order)}: {Fact(order.RmsMps2, decimals, "m/s²")}");
            }

            page.Paragraph($"{motor.Id} motor temperature rise: {Fact(motor.MotorTemp.RiseSteadyC, 1, "°C")}");
            page.Paragraph($"{motor.Id} ESC temperature rise: {Fact(motor.EscTemp.RiseSteadyC, 1, "°C")}");
        }

        page.Blank();
    }

    private static string Fact(Estimate amount, int decimals, string unit) =>
        amount.IsKnown ? Format.Amount(amount, decimals, unit) : $"{Format.NotKnown}. {ReasonText.Full(amount.Why)}";

    private static void Findings(ConsolePage page, FlightAnalysis flight)
    {
        Finding[] findings = [.. flight.Findings.Where(f => f.Severity != Severity.Note).OrderByDescending(f => f.Severity)];
        if (findings.Length == 0)
        {
            page.Paragraph(
                flight.Hover.Segments.Count == 0
                    ? "Next: fly a hover of a minute or more, and log it from take-off to landing."
                    : FlightText.NothingFound(flight)
            );
            return;
        }

        foreach (FindingGroup group in FindingGroup.Of(findings))
        {
            string who = group.Motors.Count == 0 ? "" : $", {Grammar.List([.. group.Motors])}";
            string urgency = $"{SeverityNames.Urgency(group.Severity)}{who}:";
            if (group.Items is [var (text, evidence)])
            {
                page.Paragraph($"{urgency} {text} {evidence}", later: 2);
                continue;
            }

            page.Paragraph(urgency, later: 2);
            foreach ((string one, string shown) in group.Items)
            {
                page.Paragraph($"{one} {shown}".TrimStart(), indent: 4, later: 6);
            }

            if (group.Common.Length > 0)
            {
                page.Paragraph(group.Common, indent: 2, later: 2);
            }
        }

        page.Paragraph($"Next: {Grammar.Sentence(FindingText.Of(findings[0]).NextCheck)}", later: 6);
        page.Paragraph(Cautions.Bench);
    }

    private static string Size(MotorAnalysis motor, int order, int decimals) =>
        motor.Orders.FirstOrDefault(o => o.Order == order) is { } level ? Cell(level.RmsMps2, decimals) : "?";

    private static string Cell(Estimate amount, int decimals) => amount.Value is double value ? Format.Number(value, decimals) : "?";
}
