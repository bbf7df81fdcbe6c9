using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Pages;

/// <summary>Parts about a flight that the pages on one flight and on a comparison share; the workbench uses the bar too.</summary>
internal static class FlightParts
{
    /// <summary>The bar of a single flight, of which all hover is used.</summary>
    internal static Markup TimeLine(string name, FlightAnalysis flight)
    {
        var record = new TimeInterval(0, End(flight));
        if (flight.Hover.Segments is [var first, ..] && (first.FromS < 0 || first.FromS > record.ToS))
        {
            // The clock does not start at zero and the start of the record is not known: only the used time can be drawn.
            record = new TimeInterval(first.FromS, flight.Hover.Segments[^1].ToS);
        }

        return TimeLine(name, flight, record, flight.Hover.Segments);
    }

    /// <summary>A bar from the start to the end of the record: hover that was found is light, hover that was used is filled, gaps are
    /// hatched.</summary>
    internal static Markup TimeLine(string name, FlightAnalysis flight, TimeInterval record, IReadOnlyList<TimeInterval> found)
    {
        double scale = 1000 / Math.Max(1e-9, record.Seconds);
        Markup Part(TimeInterval s, string fill) =>
            Markup.Of($"""<rect x="{(s.FromS - record.FromS) * scale}" width="{s.Seconds * scale}" height="10" fill="{fill}"/>""");
        return Markup.Of(
            $"""
            <h3>{Grammar.Capital(name)}: {Format.Number(flight.Hover.SecondsUsed, 0)} s of hover used{OutOf(record.Seconds)}</h3>
            <div class="bar"><svg viewBox="0 0 1000 10" preserveAspectRatio="none" role="img"
            aria-label="hover time used of {name}">{found.Select(
                s => Part(s, "#a9cfe6")
            )}{flight.Hover.Segments.Select(s => Part(s, Palette.Data))}{flight.Input.Imu.Gaps.Select(s => Part(s, Hatch.Fill))}</svg></div>
            <p class="soft">{Segments(flight)} {ReasonText.Full(flight.Hover.Why)}</p>

            """
        );
    }

    internal static Markup Findings(IEnumerable<Finding> findings, string none)
    {
        Finding[] all = [.. findings.OrderByDescending(f => f.Severity)];
        if (all.Length == 0)
        {
            return Markup.Of($"<p>{none}</p>\n");
        }

        return Markup.Of($"<ul class=\"findings\">\n{FindingGroup.Of(all).Select(One)}</ul>\n<p class=\"caution\">{Cautions.Bench}</p>\n");
    }

    internal static Markup Notes(IReadOnlyList<string> notes) =>
        notes.Count == 0
            ? Markup.Empty
            : Markup.Of($"<ul>\n{notes.Select(n => Markup.Of($"<li>{NoBreakSpaces.Insert(n)}</li>\n"))}</ul>\n");

    /// <summary>The files of a flight and how they were understood.</summary>
    internal static Markup Input(FlightAnalysis flight)
    {
        FlightInput input = flight.Input;
        FileRecord[] files = [.. new[] { input.Imu, input.Esc }.OfType<FileRecord>()];
        Markup table = Table.Of(
            ["File", "#Rows", "#Not usable", "#Rate", "#Gaps", "#At the end of the range"],
            files.Select(f =>
                (IReadOnlyList<Markup>)
                    [
                        Table.Text(f.Path),
                        Markup.Of($"{f.Rows}"),
                        Markup.Of($"{f.RowsUnusable}"),
                        Table.Text(f.RateHz is double hz ? $"{Format.Number(hz, hz < 100 ? 1 : 0)} Hz" : Format.NotKnown),
                        Markup.Of($"{f.Gaps.Count}"),
                        Markup.Of($"{f.ClippedSamples}"),
                    ]
            )
        );
        Markup columns = Table.Of(
            ["Column", "Read as", "Unit", "Known from"],
            files
                .SelectMany(f => f.Columns)
                .Select(c =>
                    (IReadOnlyList<Markup>)
                        [
                            Table.Text(c.Header),
                            Table.Text(c.Channel ?? "not used"),
                            Table.Text(c.Unit ?? "none"),
                            Table.Text(c.HowKnown ?? ""),
                        ]
                )
        );
        return Markup.Of(
            $"{table}<p class=\"soft\">{Clock(input)}</p>\n<div "
                + $"class=\"screen\">{Table.Folded("Every column and how it was read", columns)}</div>\n"
        );
    }

    private static Markup One(FindingGroup group) =>
        Markup.Of(
            $"""
        <li><p><span class="sev">{SeverityNames.Urgency(group.Severity)}</span>{(group.Motors.Count == 0 ? "" : ", " + Grammar.List([.. group.Motors]))}: {(group.Items.Count == 1 ? NoBreakSpaces.Insert(group.Items[0].Text) : "")}</p>
        {(group.Items.Count == 1
            ? Markup.Of($"<p class=\"soft\">{NoBreakSpaces.Insert(group.Items[0].Evidence)}</p>")
            : Markup.Of($"<ul>{group.Items.Select(Item)}</ul>{(
                group.Common.Length > 0 ? Markup.Of($"<p>{NoBreakSpaces.Insert(group.Common)}</p>") : Markup.Empty
            )}"))}{group.NextChecks.Select(n => Markup.Of($"<p>Next: {NoBreakSpaces.Insert(n)}</p>"))}</li>

        """
        );

    private static Markup Item((string Text, string Evidence) finding) =>
        Markup.Of($"<li>{NoBreakSpaces.Insert(finding.Text)} <span class=\"soft\">{NoBreakSpaces.Insert(finding.Evidence)}</span></li>\n");

    private static string Segments(FlightAnalysis flight) =>
        flight.Hover.Segments.Count == 0
            ? ""
            : $"Used: {Grammar.List([.. flight.Hover.Segments.Select(s => $"{Format.Number(s.FromS, 1)} to {Format.Number(s.ToS, 1)} s")])}.";

    private static string OutOf(double seconds) => seconds > 0 ? $" out of {Format.Number(seconds, 0)} s" : "";

    private static double End(FlightAnalysis flight)
    {
        double used = flight.Hover.Segments.Select(s => s.ToS).DefaultIfEmpty(0).Max();
        double recorded = flight.Input.Imu.RateHz is double hz and > 0 ? flight.Input.Imu.Rows / hz : 0;
        return Math.Max(used, recorded);
    }

    private static string Drift(FlightInput input) =>
        input is not { ClockDriftPpm: double ppm, ClockDriftU95Ppm: double u } ? ""
        : ppm == 0 ? $" No drift between the two clocks shows (to ± {Format.Number(u, 0)} ppm)."
        : $" Their drift of {Format.Signed(ppm, 0)} ± {Format.Number(u, 0)} ppm is corrected.";

    private static string Likely(FlightInput input) =>
        input.ClockWhy is OffsetLikely likely ? $" This is likely, not sure: {ReasonText.Clause(likely)}." : "";

    private static string Clock(FlightInput input)
    {
        if (input.Esc is null)
        {
            return "Everything in one file, on one clock.";
        }

        string interval = input.ClockOffsetU95S is double u ? $" ± {Format.Number(u, 3)}" : "";
        return input.ClockOffsetS is double offset
            ? $"{Format.Signed(offset, 3)}{interval} s were added to the telemetry's time to meet the IMU's.{Likely(input)}{Drift(input)}"
            : Grammar.Sentence($"the offset between the two clocks is not known: {ReasonText.Clause(input.ClockWhy)}");
    }
}
