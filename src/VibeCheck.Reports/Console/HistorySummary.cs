using System.Globalization;
using Spectre.Console;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Tables;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Console;

/// <summary>The history of an airframe on the console: one line per stage, with the call of each step.</summary>
public static class HistorySummary
{
    private static readonly TextColumn[] s_columns =
    [
        new("Done on", 12, Gap: 0),
        new("Vibration", 11, IsRight: true, Gap: 0),
        new("Step, dB", 12, IsRight: true, Gap: 0),
        new("Motor, °C", 13, IsRight: true, Gap: 0),
        new("ESC, °C", 11, IsRight: true, Gap: 0),
        new("Split, %", 11, IsRight: true, Gap: 0),
    ];

    /// <summary>Writes the summary, as wide as the console.</summary>
    /// <param name="history">The history to show.</param>
    /// <param name="console">The console; it decides whether there is colour.</param>
    /// <param name="plain">Whether to write one fact per line, without colour and columns, for scripts and screen readers.</param>
    public static void Write(History history, IAnsiConsole console, bool plain = false)
    {
        ArgumentNullException.ThrowIfNull(history);
        ArgumentNullException.ThrowIfNull(console);
        var page = new ConsolePage(console, plain);
        page.Paragraph(
            $"{history.Title}: {Grammar.Count(history.Stages.Count, "stage")} of {history.Airframe.Name}.",
            style: new Style(decoration: Decoration.Bold)
        );
        page.Paragraph($"From first to last: {VerdictText.Sentence(history.Whole)}");
        page.Blank();
        if (plain || !page.Fits(ConsolePage.UsualColumns))
        {
            Facts(page, history);
        }
        else
        {
            Table(page, history);
        }
    }

    private static void Table(ConsolePage page, History history)
    {
        page.Row(s_columns, [.. s_columns.Select(c => (TextCell)c.Header)]);
        page.Rule(70);
        foreach (HistoryStage stage in history.Stages)
        {
            Comparison? step = stage.Step;
            page.Row(
                s_columns,
                Day(stage),
                Cell(stage.VibrationMps2, 2, " m/s²"),
                Step(page, step?.Vibration),
                Cell(stage.HottestMotorC, 1) + Sign(page, step?.MotorTemperature),
                Cell(stage.HottestEscC, 1) + Sign(page, step?.EscTemperature),
                stage.Split.IsKnown ? Share(stage.Split) : "?"
            );
            page.Paragraph(stage.Name, indent: 4, later: 4);
        }

        page.Blank();
        page.Paragraph(
            $"Signs: {page.Sign(CallKind.Improved)} improved, {page.Sign(CallKind.Worse)} worse, {page.Sign(CallKind.NoClearChange)} "
                + $"no clear change, {page.Sign(CallKind.Unknown)} unknown, each against the stage before. Temperatures are steady "
                + $"rises of the hottest unit above ambient."
        );
    }

    private static void Facts(ConsolePage page, History history)
    {
        foreach (HistoryStage stage in history.Stages)
        {
            page.Paragraph(
                $"{Day(stage)} {stage.Name}: vibration {Value(stage.VibrationMps2, 2, " m/s²")}, hottest motor "
                    + $"{Value(stage.HottestMotorC, 1, " °C")}, hottest ESC {Value(stage.HottestEscC, 1, " °C")}, split "
                    + $"{(stage.Split.IsKnown ? Share(stage.Split) + " %" : Format.NotKnown)}."
            );
            if (stage.Step is Comparison step)
            {
                page.Paragraph(
                    $"{Day(stage)} against the stage before: vibration {VerdictText.Short(step.Vibration.Kind)}, motors "
                        + $"{VerdictText.Short(step.MotorTemperature.Kind)}, ESCs {VerdictText.Short(step.EscTemperature.Kind)}."
                );
            }
        }
    }

    private static string Day(HistoryStage stage) => stage.Date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Value(Estimate estimate, int decimals, string unit = "") =>
        estimate.Value is double value ? Format.Number(value, decimals) + unit : Format.NotKnown;

    private static string Cell(Estimate estimate, int decimals, string unit = "") =>
        estimate.IsKnown ? Value(estimate, decimals, unit) : "?";

    private static string Share(Estimate split) => Format.Signed(100 * split.Value!.Value, 1);

    private static string Sign(ConsolePage page, Call? call) => call is null ? "  " : " " + page.Sign(call.Kind);

    private static string Step(ConsolePage page, Call? call) =>
        call?.Change.Value is double value ? Format.Signed(value, 1) + Sign(page, call)
        : call is null ? ""
        : "?";
}
