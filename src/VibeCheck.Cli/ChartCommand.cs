using System.CommandLine;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Console;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Pages;

namespace VibeCheck.Cli;

/// <summary><c>vibecheck chart --span MM</c>: tilt against shim, to print.</summary>
internal static class ChartCommand
{
    private const double MmPerInch = 25.4;

    internal static Command Build(Terminal terminal)
    {
        Option<double?> span = NumberOption.Of(
            "--span",
            "Distance between bolt centres, mm.",
            "MM",
            1,
            1000,
            "the distance between bolt centres, 1 to 1000 mm, such as 28.6"
        );
        Option<double?> spanInch = NumberOption.Of(
            "--span-in",
            "The same in inches.",
            "INCH",
            0.04,
            39,
            "the distance between bolt centres, 0.04 to 39 inches, such as 1.125"
        );
        Option<string?> report = CommonOptions.Report(),
            json = CommonOptions.Json();
        Option<string> paper = ShimsCommand.Paper();
        var command = new Command("chart", "Print a shim chart for one bolt spacing: shim for a tilt and tilt for a shim, mm and inch.")
        {
            span,
            spanInch,
            report,
            paper,
            json,
        };
        command.Validators.Add(result =>
        {
            // Checks only whether the options are given: a value that cannot be read has its own message.
            bool millimetres = result.GetResult(span) is not null,
                inches = result.GetResult(spanInch) is not null;
            if (millimetres == inches)
            {
                result.AddError(
                    millimetres
                        ? "--span and --span-in are both given. Give one of them."
                        : "Give the distance between bolt centres, 1 to 1000 mm: --span 28.6, or --span-in 1.125."
                );
            }
        });
        command.SetAction(parsed =>
        {
            ShimChart chart = ShimChart.Of(parsed.GetValue(span) ?? parsed.GetValue(spanInch)!.Value * MmPerInch);
            string? page = parsed.GetValue(report),
                data = parsed.GetValue(json);
            OutputPlan.Of(terminal, ("--report", page), ("--json", data)).SpareOtherKinds();
            ResultOutput.Write(terminal, page, stream => ShimChartPage.Write(chart, stream, parsed.GetValue(paper) == "letter"));
            ResultOutput.Write(terminal, data, stream => ShimJson.Write(chart, stream));
            if (!ResultOutput.IsStandardOutput(page) && !ResultOutput.IsStandardOutput(data))
            {
                new ShimSummary(terminal.Output, inch: false, terminal.Width).Write(chart);
            }

            return ExitCode.Done;
        });
        return command;
    }
}
