using System.CommandLine;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports;
using VibeCheck.Reports.Json;

namespace VibeCheck.Cli;

/// <summary><c>vibecheck chart --span MM</c>: tilt against shim, to print.</summary>
internal static class ChartCommand
{
    private const double MmPerInch = 25.4;

    internal static Command Build(Terminal terminal)
    {
        var span = new Option<double?>("--span") { Description = "Distance between bolt centres, mm.", HelpName = "MM" };
        var spanInch = new Option<double?>("--span-in") { Description = "The same in inches.", HelpName = "INCH" };
        Option<string?> report = CommonOptions.Report(), json = CommonOptions.Json();
        Option<string> paper = ShimsCommand.Paper();
        var command = new Command("chart", "A shim chart for one distance between bolts: tilt against shim and back, mm and inch.")
        {
            span, spanInch, report, paper, json,
        };
        command.Validators.Add(result =>
        {
            double? mm = result.GetValue(span) ?? result.GetValue(spanInch) * MmPerInch;
            if (mm is not (>= 1 and <= 1000))
            {
                result.AddError("Give the distance between bolt centres, 1 to 1000 mm: --span 28.6, or --span-in 1.125.");
            }
        });
        command.SetAction(parsed =>
        {
            ShimChart chart = ShimChart.Of(parsed.GetValue(span) ?? parsed.GetValue(spanInch)!.Value * MmPerInch);
            string? page = parsed.GetValue(report), data = parsed.GetValue(json);
            ResultOutput.Write(terminal, page, stream => ShimChartPage.Write(chart, stream, parsed.GetValue(paper) == "letter"));
            ResultOutput.Write(terminal, data, stream => ShimJson.Write(chart, stream));
            if (!ResultOutput.IsStandardOutput(page) && !ResultOutput.IsStandardOutput(data))
            {
                new ShimText(terminal.Output, inch: false).Write(chart);
            }

            return ExitCode.Done;
        });
        return command;
    }
}
