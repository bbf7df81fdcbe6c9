using System.CommandLine;
using System.CommandLine.Parsing;
using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Reports.Console;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Pages;

namespace VibeCheck.Cli;

/// <summary>One flight: hover, spectra, orders of each motor, levels, temperatures, findings.</summary>
internal static class FlightCommand
{
    private const int HighestOrder = 200;

    internal static Command Build(Terminal terminal)
    {
        Argument<string[]> logs = new("LOG")
        {
            Description = "The logs of one flight: IMU and ESC files, or one file with both; the columns show which is which.",
            Arity = ArgumentArity.ZeroOrMore,
        };
        Option<string[]> imu = new("--imu")
        {
            Description = "IMU log, or one file with everything. Several files are parts of one flight.",
            AllowMultipleArgumentsPerToken = true,
            HelpName = "FILE",
        };
        Option<string[]> esc = new("--esc")
        {
            Description = "ESC telemetry, where it is in a file of its own.",
            AllowMultipleArgumentsPerToken = true,
            HelpName = "FILE",
        };
        Option<string?> airframe = new("--airframe")
        {
            Description = "The aircraft: motors, arms, spins, bolts (airframe.toml). Without it, motors have the names in the log.",
            HelpName = "FILE",
        };
        Option<double?> ambient = NumberOption.Of(
            "--ambient",
            "Air temperature during the flight, °C.",
            "C",
            -60,
            70,
            "the air temperature in °C, -60 to 70"
        );
        Option<int[]> orders = new("--orders")
        {
            Description = "Orders to measure, such as 1 2 4 (default: 1, 2, 3, blade count and twice it).",
            AllowMultipleArgumentsPerToken = true,
            HelpName = "K",
            CustomParser = Orders,
        };
        Option<string?> json = CommonOptions.Json(),
            report = CommonOptions.Report(),
            tables = TableOutput.Option();
        Option<bool> plain = CommonOptions.Plain(),
            open = CommonOptions.Open();
        LogOptions log = new();
        Command command = new("flight", "Analyse one flight: hover, spectra, orders of each motor, levels, temperatures, findings.")
        {
            logs,
            imu,
            esc,
            airframe,
            ambient,
            orders,
            json,
            report,
            tables,
            open,
            plain,
        };
        log.AddTo(command);
        command.Validators.Add(result => OpenNeedsReport(result, open, report));
        command.Validators.Add(result =>
        {
            bool bare = result.GetResult(logs) is { Tokens.Count: > 0 },
                named = result.GetResult(imu) is not null;
            if (bare == named)
            {
                result.AddError(
                    bare
                        ? "Logs are given both with --imu and without it. Give them one way."
                        : "Name the log of the flight: vibecheck flight LOG.csv, or --imu IMU.csv --esc ESC.csv."
                );
            }
        });
        command.SetAction(parsed =>
            Run(
                terminal,
                new Request(
                    parsed.GetValue(logs) ?? [],
                    parsed.GetValue(imu) ?? [],
                    parsed.GetValue(esc) ?? [],
                    parsed.GetValue(airframe),
                    new() { Orders = parsed.GetValue(orders) is { Length: > 0 } list ? list : null },
                    log.ColumnsPath(parsed),
                    () => log.Read(parsed) with { AmbientC = parsed.GetValue(ambient) },
                    parsed.GetValue(json),
                    parsed.GetValue(report),
                    parsed.GetValue(tables),
                    parsed.GetValue(open),
                    parsed.GetValue(plain)
                )
            )
        );
        return command;
    }

    private static int Run(Terminal terminal, Request request)
    {
        TableOutput.Check(request.Tables);
        var outputs = OutputPlan.Of(
            terminal,
            ("--json", request.Json),
            ("--report", request.Report),
            ("--tables", TableOutput.In(request.Tables, TableOutput.Motors))
        );
        outputs.Spare([.. request.Logs, .. request.Imu, .. request.Esc, request.Airframe, request.Columns]);
        outputs.SpareOtherKinds();
        Airframe? aircraft = request.Airframe is string path ? AirframeFile.Read(path) : null;
        InputRemarks.Write(terminal, request.Airframe ?? "", aircraft?.Remarks ?? []);
        ReadOptions said = ColumnQuestions.Ask(terminal, [.. request.Logs, .. request.Imu, .. request.Esc], request.Read());
        FlightFiles files =
            request.Imu.Count > 0 ? new(request.Imu, request.Esc)
            : FlightSorting.OneFlight(request.Logs, said) is var sorted && request.Esc.Count > 0
                ? sorted with
                {
                    Esc = [.. sorted.Esc, .. request.Esc],
                }
            : sorted;
        FlightAnalysis analysis = LongWork.Run(
            terminal,
            "Reading the flight",
            (progress, fitted) =>
            {
                Flight flight = FlightReader.Read(files, said with { Progress = progress }, aircraft, CancellationToken.None);
                return FlightCheck.Of(flight, aircraft ?? LoggedMotors.Airframe(flight), request.Options with { Progress = fitted });
            }
        );
        HoverFault.ThrowIfNone(analysis);
        ResultOutput.Write(
            terminal,
            (request.Json, stream => FlightJson.Write(analysis, stream)),
            (request.Report, stream => FlightPage.Write(analysis, stream)),
            () => FlightSummary.Write(analysis, terminal.Console, request.Plain)
        );
        TableOutput.Write(terminal, request.Tables, TableOutput.Motors, () => FlightTable.Of(analysis));
        if (request.Open)
        {
            PageOpener.Open(terminal, request.Report!);
        }

        return ExitCode.Done;
    }

    /// <summary>A page can be opened only where it is written to a file.</summary>
    internal static void OpenNeedsReport(CommandResult result, Option<bool> open, Option<string?> report)
    {
        if (
            result.GetResult(open) is { Implicit: false }
            && (result.GetResult(report)?.Tokens is not [Token file] || StandardStreams.IsOutput(file.Value))
        )
        {
            result.AddError("--open opens the page that --report writes. Add --report FILE.html.");
        }
    }

    /// <summary>Whole numbers, separated by blanks or commas.</summary>
    private static int[] Orders(ArgumentResult result)
    {
        var orders = new List<int>();
        bool wrong = false;
        foreach (
            string text in result.Tokens.SelectMany(t =>
                t.Value.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
            )
        )
        {
            if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int order) && order is >= 1 and <= HighestOrder)
            {
                orders.Add(order);
            }
            else
            {
                wrong = true;
                result.AddError(
                    $"--orders: '{NumberOption.Cut(text)}' is not an order. Give whole numbers from 1 to {HighestOrder}, such as 1 2 4."
                );
            }
        }

        if (orders.Count == 0 && !wrong)
        {
            result.AddError($"--orders: no order is given. Give whole numbers from 1 to {HighestOrder}, such as 1 2 4.");
        }

        return [.. orders.Distinct().Order()];
    }

    private sealed record Request(
        IReadOnlyList<string> Logs,
        IReadOnlyList<string> Imu,
        IReadOnlyList<string> Esc,
        string? Airframe,
        AnalysisOptions Options,
        string? Columns,
        Func<ReadOptions> Read,
        string? Json,
        string? Report,
        string? Tables,
        bool Open,
        bool Plain
    );
}
