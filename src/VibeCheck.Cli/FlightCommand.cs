using System.CommandLine;
using System.CommandLine.Parsing;
using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Logs;
using VibeCheck.Reports;

namespace VibeCheck.Cli;

/// <summary>One flight: hover, spectra, orders of each motor, levels, temperatures, findings.</summary>
internal static class FlightCommand
{
    private const int HighestOrder = 200;

    internal static Command Build(Terminal terminal)
    {
        Option<string[]> imu = new("--imu") { Description = "IMU log, or one wide file with everything. Several files are parts of one flight.", Required = true, AllowMultipleArgumentsPerToken = true, HelpName = "FILE" };
        Option<string[]> esc = new("--esc") { Description = "ESC telemetry, when it is in a file of its own.", AllowMultipleArgumentsPerToken = true, HelpName = "FILE" };
        Option<string> airframe = new("--airframe") { Description = "The aircraft: motors, arms, spins, bolts (airframe.toml).", Required = true, HelpName = "FILE" };
        Option<double?> ambient = NumberOption.Of("--ambient", "Air temperature during the flight, °C.", "C", -60, 70, "the air temperature in °C, -60 to 70");
        Option<int[]> orders = new("--orders")
        {
            Description = "Orders to measure, such as 1 2 4 (default: 1, 2, 3, blade count and twice it).",
            AllowMultipleArgumentsPerToken = true,
            HelpName = "K",
            CustomParser = Orders,
        };
        Option<string?> json = CommonOptions.Json(), report = CommonOptions.Report();
        Option<bool> plain = CommonOptions.Plain();
        LogOptions log = new();
        Command command = new("flight", "One flight: hover, spectra, orders of each motor, levels, temperatures, findings.") { imu, esc, airframe, ambient, orders, json, report, plain };
        log.AddTo(command);
        command.SetAction(parsed =>
        {
            string? data = parsed.GetValue(json), page = parsed.GetValue(report);
            OutputPlan.Of(terminal, ("--json", data), ("--report", page))
                .Spare([.. parsed.GetRequiredValue(imu), .. parsed.GetValue(esc) ?? [], parsed.GetRequiredValue(airframe), log.ColumnsPath(parsed)]);
            Airframe aircraft = AirframeFile.Read(parsed.GetRequiredValue(airframe));
            InputRemarks.Write(terminal, parsed.GetRequiredValue(airframe), aircraft.Remarks);
            FlightFiles files = new(parsed.GetRequiredValue(imu), parsed.GetValue(esc) ?? []);
            AnalysisOptions options = new() { Orders = parsed.GetValue(orders) is { Length: > 0 } list ? list : null };
            FlightAnalysis analysis = LongWork.Run(terminal, "Reading the flight", progress =>
            {
                ReadOptions how = log.Read(parsed) with { AmbientC = parsed.GetValue(ambient), Progress = progress };
                return FlightAnalysis.Of(FlightReader.Read(files, how, aircraft, CancellationToken.None), aircraft, options);
            });
            HoverFault.ThrowIfNone(analysis);
            ResultOutput.Write(
                terminal,
                (data, stream => FlightJson.Write(analysis, stream)),
                (page, stream => FlightPage.Write(analysis, stream)),
                () => FlightSummary.Write(analysis, terminal.Console, parsed.GetValue(plain)));
            return ExitCode.Done;
        });
        return command;
    }

    /// <summary>Whole numbers, with blanks or commas between them.</summary>
    private static int[] Orders(ArgumentResult result)
    {
        var orders = new List<int>();
        bool wrong = false;
        foreach (string text in result.Tokens.SelectMany(t => t.Value.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)))
        {
            if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int order) && order is >= 1 and <= HighestOrder)
            {
                orders.Add(order);
            }
            else
            {
                wrong = true;
                result.AddError($"--orders: '{NumberOption.Cut(text)}' is not an order. Give whole numbers from 1 to {HighestOrder}, such as 1 2 4.");
            }
        }

        if (orders.Count == 0 && !wrong)
        {
            result.AddError($"--orders: no order is given. Give whole numbers from 1 to {HighestOrder}, such as 1 2 4.");
        }

        return [.. orders.Distinct().Order()];
    }
}
