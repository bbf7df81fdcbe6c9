using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Figures;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Pages;

/// <summary>The history of an airframe: each metric stage by stage, then the last stage against the first in full.</summary>
public static class HistoryPage
{
    /// <summary>Writes the page as UTF-8 HTML. The stream stays open.</summary>
    /// <param name="history">The history to show.</param>
    /// <param name="stream">Takes the page.</param>
    /// <param name="details">What is shown at its head beside the aircraft; null for nothing.</param>
    public static void Write(History history, Stream stream, JobDetails? details = null)
    {
        ArgumentNullException.ThrowIfNull(history);
        ArgumentNullException.ThrowIfNull(stream);
        PageFrame.Write(stream, $"{history.Title}: history of {history.Airframe.Name}", All(history, details));
    }

    /// <summary>The content of the page without its frame, to be shown in a page with another frame.</summary>
    /// <param name="history">The history to show.</param>
    /// <param name="details">What is shown at its head beside the aircraft; null for nothing.</param>
    public static Markup Content(History history, JobDetails? details = null)
    {
        ArgumentNullException.ThrowIfNull(history);
        return PageFrame.Content(All(history, details));
    }

    private static Markup All(History history, JobDetails? details) =>
        Markup.Of($"{Head(history, details)}{Life(history)}{Stages(history)}{Steps(history)}{Whole(history)}");

    private static Markup Head(History h, JobDetails? details) =>
        Markup.Of(
            $"""
            <header><p class="kicker">{h.Title} · {h.Airframe.Name} · {Grammar.Count(h.Stages.Count, "stage")}, {Day(h.Stages[0])} to {Day(
                h.Stages[^1]
            )}</p>
            {ComparisonPage.About(
                h.Airframe.Name,
                details
            )}<p class="kicker"><span class="call {h.Whole.Verdict.Code()}">{VerdictText.Short(
                h.Whole.Verdict
            )}</span> from first to last</p>
            <h1>{NoBreakSpaces.Insert(VerdictText.Sentence(h.Whole))}</h1></header>

            """
        );

    private static Markup Life(History h)
    {
        ChartJob[] jobs =
        [
            Job(h, "Vibration from the rotors, m/s² rms", s => s.VibrationMps2, s => Note(s.Vibration, "dB"), isFirst: true),
            Job(h, "Hottest motor, steady rise, °C", s => s.HottestMotorC, s => Note(s.MotorTemperature, "°C")),
            Job(h, "Hottest ESC, steady rise, °C", s => s.HottestEscC, s => Note(s.EscTemperature, "°C")),
            Job(
                h,
                "Motors, hottest minus coolest, °C",
                s => s.MotorSpreadC,
                s =>
                    s.MotorSpread is { ChangeC.Value: double c } spread
                        ? new(ComparisonCharts.Sign(spread.Call), Format.Signed(c, 1), "°C")
                        : StageChange.None
            ),
            Job(h, "Yaw trim, speed split, %", s => ComparisonCharts.Percent(s.Split), s => Points(s.YawTrim), isLast: true),
        ];
        Dictionary<string, (Markup Wide, Markup Narrow)> drawn = ChartJob.DrawAll(jobs);
        return Markup.Of(
            $"""
            <section class="life"><h2>Stage by stage</h2>
            {Figure.Of(Markup.Join(jobs.Select(j => drawn[j.Name].Wide)), Markup.Join(jobs.Select(j => drawn[j.Name].Narrow)), Markup.Of(
                $"A dot is a stage, evenly spaced, with the day its work was done; bars are 95 % intervals, with the scatter from one "
                    + $"flight to the next in them (yaw trim: from within the flights). Dashed lines are work, numbered as below; beside "
                    + $"each the change and its call against the stage before: ▼ better, ▲ worse, ● no clear change. Look for steps "
                    + $"that stay."))}
            <ol class="works">{h.Stages.Select(s => Markup.Of($"<li><strong>{s.Name}</strong>, {Day(s)}</li>\n"))}</ol></section>

            """
        );
    }

    private static ChartJob Job(
        History h,
        string title,
        Func<HistoryStage, Estimate> of,
        Func<Comparison, StageChange> note,
        bool isFirst = false,
        bool isLast = false
    ) =>
        new(
            title,
            (width, id) =>
                new TrendChart
                {
                    Title = title,
                    Stages = [.. h.Stages.Select(of)],
                    Steps = [.. h.Stages.Select(s => s.Step is Comparison step ? note(step) : StageChange.None)],
                    Numbered = isFirst,
                    Days = isLast ? [.. h.Stages.Select(Day)] : null,
                }.Draw(width, "life-" + id, $"{title}, stage by stage")
        );

    private static Markup Stages(History h)
    {
        var rows = h.Stages.Select(
            (s, i) =>
                (IReadOnlyList<Markup>)
                    [
                        Table.Text($"{Format.Whole(i + 1)}  {s.Name}"),
                        Table.Text(Day(s)),
                        Table.Text(Format.Whole(s.Flights.Count)),
                        Table.Text(Amount(s.VibrationMps2, 2)),
                        Call(s.Step?.Vibration),
                        Table.Text(Amount(s.HottestMotorC, 1)),
                        Call(s.Step?.MotorTemperature),
                        Table.Text(Amount(s.HottestEscC, 1)),
                        Call(s.Step?.EscTemperature),
                        Table.Text(Amount(s.MotorSpreadC, 1)),
                        Table.Text(Amount(ComparisonCharts.Percent(s.Split), 1)),
                    ]
        );
        return Table.Folded(
            "The same as a table",
            Table.Of(
                [
                    "~Stage",
                    "Done on",
                    "#Flights",
                    "#Vibration, m/s²",
                    "Call",
                    "#Hottest motor, °C",
                    "Call",
                    "#Hottest ESC, °C",
                    "Call",
                    "#Spread, °C",
                    "#Split, %",
                ],
                rows
            )
        );
    }

    private static Markup Steps(History h) =>
        Markup.Of(
            $"""
            <section><h2>What each step did</h2>
            {h.Stages.Where(s => s.Step is not null).Select(Step)}</section>

            """
        );

    private static Markup Step(HistoryStage stage) =>
        Markup.Of(
            $"""
            <h3>{Grammar.Capital(stage.Name)}, {Day(stage)}: {VerdictText.Short(stage.Step!.Verdict).ToLowerInvariant()}</h3>
            <p>{NoBreakSpaces.Insert(VerdictText.Sentence(stage.Step))}</p>
            {Table.Folded(
                "Reasons",
                Markup.Of($"<ul>{stage.Step.Reasons.Select(r => Markup.Of($"<li>{NoBreakSpaces.Insert(ReasonText.Full(r))}</li>\n"))}</ul>\n")
            )}
            """
        );

    private static Markup Whole(History h) =>
        Markup.Of(
            $"""
            <section><h2>The last stage against the first</h2>
            <p class="lead">Before: {h.Stages[0].Name}, {Day(h.Stages[0])}. After: {h.Stages[^1].Name}, {Day(h.Stages[^1])}.</p></section>
            {ComparisonPage.Body(Clockwise.Sorted(h.Whole))}
            """
        );

    private static Markup Call(Call? call) => call is null ? Markup.Empty : ComparisonTables.CallWord(call.Kind);

    private static string Amount(Estimate estimate, int decimals) => Format.Amount(estimate, decimals, "");

    private static StageChange Note(Call call, string unit) =>
        call.Change.Value is double value ? new(ComparisonCharts.Sign(call.Kind), Format.Signed(value, 1), unit) : StageChange.None;

    private static StageChange Points(YawTrimChange trim) =>
        trim is { Before.Value: double b, After.Value: double a } ? new("", Format.Signed(100 * (a - b), 1), "") : StageChange.None;

    private static string Day(HistoryStage stage) => stage.Date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
