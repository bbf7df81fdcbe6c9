using System.CommandLine;
using System.CommandLine.Parsing;
using VibeCheck.Core.Comparisons;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Jobs;
using VibeCheck.Reports.Console;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Pages;

namespace VibeCheck.Cli;

/// <summary><c>vibecheck compare</c>: compares the flights before and after the work, with the survey.</summary>
internal static class CompareCommand
{
    internal static Command Build(Terminal terminal)
    {
        Argument<string[]> job = new("JOB")
        {
            Description = "The job file (job.toml), its folder, or two logs without a job file: before and after.",
            Arity = ArgumentArity.ZeroOrMore,
        };
        Option<string[]> before = Side("--before", "before"),
            after = Side("--after", "after");
        Option<string?> airframe = new("--airframe")
        {
            Description = "The aircraft, where no job file names it (airframe.toml).",
            HelpName = "FILE",
        };
        Option<string?> survey = new("--survey")
        {
            Description = "The survey between the flights, where no job file names it (survey.csv).",
            HelpName = "FILE",
        };
        Option<double?> ambientBefore = Ambient("before"),
            ambientAfter = Ambient("after");
        Option<string?> json = CommonOptions.Json(),
            report = CommonOptions.Report(),
            tables = TableOutput.Option();
        Option<bool> plain = CommonOptions.Plain(),
            open = CommonOptions.Open();
        Option<bool> ignoreDates = new("--ignore-dates")
        {
            Description = "Compare even if, by the logs' clocks, a 'before' flight was flown after an 'after' flight.",
        };
        LogOptions log = new();
        Command command = new("compare", "Compare flights before and after work on the motor mounts: did it help?")
        {
            job,
            before,
            after,
            airframe,
            survey,
            ambientBefore,
            ambientAfter,
            json,
            report,
            tables,
            open,
            plain,
            ignoreDates,
        };
        log.AddTo(command);
        command.Validators.Add(result => FlightCommand.OpenNeedsReport(result, open, report));
        command.Validators.Add(result =>
            CheckNames(result, Tokens(result.GetResult(job)), result.GetResult(before) is not null, result.GetResult(after) is not null)
        );
        command.SetAction(parsed =>
            Run(
                terminal,
                new Request(
                    parsed.GetValue(job) ?? [],
                    parsed.GetValue(before) ?? [],
                    parsed.GetValue(after) ?? [],
                    parsed.GetValue(airframe),
                    parsed.GetValue(survey),
                    parsed.GetValue(ambientBefore),
                    parsed.GetValue(ambientAfter),
                    () => log.Read(parsed),
                    log.ColumnsPath(parsed),
                    parsed.GetValue(json),
                    parsed.GetValue(report),
                    parsed.GetValue(tables),
                    parsed.GetValue(open),
                    parsed.GetValue(plain),
                    parsed.GetValue(ignoreDates)
                )
            )
        );
        return command;
    }

    /// <summary>Compares the flights of a job file.</summary>
    internal static int Run(Terminal terminal, string jobPath, string? json, string? report, bool open, bool plain) =>
        Run(
            terminal,
            new Request([jobPath], [], [], null, null, null, null, () => ReadOptions.Default, null, json, report, null, open, plain, false)
        );

    private static int Run(Terminal terminal, Request request)
    {
        TableOutput.Check(request.Tables);
        var outputs = OutputPlan.Of(
            terminal,
            ("--json", request.Json),
            ("--report", request.Report),
            ("--tables", TableOutput.In(request.Tables, TableOutput.Motors)),
            ("--tables", TableOutput.In(request.Tables, TableOutput.Stages))
        );
        outputs.Spare([
            .. request.Names,
            .. request.Names.Select(n => Path.Combine(n, "job.toml")),
            .. request.Before,
            .. request.After,
            request.Airframe,
            request.Survey,
            request.Columns,
        ]);
        ReadOptions said = ColumnQuestions.Ask(
            terminal,
            [.. request.Names.Where(FlightSorting.IsLogName), .. request.Before, .. request.After],
            request.Read()
        );
        Job job = JobOf(request, said);
        outputs.Spare(FilesOf(job));
        outputs.SpareOtherKinds();
        PreparePage(request.Report);
        InputRemarks.Write(terminal, job.Path, job.Remarks);

        if (job.Stages.Count > 0)
        {
            int code = RunHistory(terminal, job, request);
            OpenPage(terminal, request);
            return code;
        }

        Comparison comparison = LongWork.Run(
            terminal,
            "Reading and comparing the flights",
            (progress, fitted) =>
                JobComparison.Run(
                    JobReader.Read(job, said with { Progress = progress }),
                    job.Options with
                    {
                        IgnoreDates = request.IgnoreDates,
                        Progress = fitted,
                    }
                )
        );
        WriteRemarks(terminal, job, comparison);
        foreach (var flight in comparison.Before.Concat(comparison.After))
        {
            HoverFault.ThrowIfNone(flight);
        }

        ResultOutput.Write(
            terminal,
            (request.Json, stream => ComparisonJson.Write(comparison, stream)),
            (request.Report, stream => ComparisonPage.Write(comparison, stream, DetailsOf(job))),
            () => ComparisonSummary.Write(comparison, terminal.Console, request.Plain)
        );
        TableOutput.Write(terminal, request.Tables, TableOutput.Motors, () => MotorTable.Of(comparison));
        OpenPage(terminal, request);
        return comparison.Verdict == Verdict.NotComparable ? ExitCode.NotComparable : ExitCode.Done;
    }

    private static JobDetails DetailsOf(Job job) => new(job.Tail, job.Serial, job.WorkOrder, job.Customer);

    private static void OpenPage(Terminal terminal, Request request)
    {
        if (request.Open)
        {
            PageOpener.Open(terminal, request.Report!);
        }
    }

    private static Option<string[]> Side(string name, string side) =>
        new(name)
        {
            Description = $"Flights {side} the work: a log, or a folder with the logs of one flight; give one for each flight.",
            AllowMultipleArgumentsPerToken = true,
            HelpName = "F",
        };

    private static Option<double?> Ambient(string side) =>
        NumberOption.Of(
            $"--ambient-{side}",
            $"Air temperature of the flights {side}, °C, where no job file gives it.",
            "C",
            -60,
            70,
            "the air temperature in °C, -60 to 70"
        );

    private static string[] Tokens(SymbolResult? result) => [.. result?.Tokens.Select(t => t.Value) ?? []];

    private static void CheckNames(CommandResult result, string[] names, bool before, bool after)
    {
        string? problem =
            names.Length > 0 && (before || after)
                ? "The flights are given both with --before or --after and without them. Give them one way."
            : before != after
                ? $"{(before ? "--before" : "--after")} is given without {(before ? "--after" : "--before")}. Name the flights of "
                    + $"both sides."
            : names.Length == 0 && !before ? "Name a job file or its folder, or two logs: vibecheck compare BEFORE.csv AFTER.csv."
            : names.Length == 1 && FlightSorting.IsLogName(names[0])
                ? $"{NumberOption.Cut(names[0])} is one log. Name the one after as well: vibecheck compare BEFORE.csv AFTER.csv; for "
                    + $"one flight: vibecheck flight LOG.csv."
            : names.Length == 2 && names.Any(n => n.EndsWith(".toml", StringComparison.OrdinalIgnoreCase))
                ? "Two names are given, and one is a job file. Name one job, or two logs."
            : names.Length > 2 ? "Which of these are before, and which after? Write: vibecheck compare --before F... --after F..."
            : null;
        if (problem is not null)
        {
            result.AddError(problem);
        }
    }

    private static Job JobOf(Request request, ReadOptions said)
    {
        if (request.Names.Count == 1 && !(Directory.Exists(request.Names[0]) && !File.Exists(Path.Combine(request.Names[0], "job.toml"))))
        {
            RefuseTwice(request);
            return JobFile.Read(request.Names[0]);
        }

        Job job =
            request.Names.Count == 1 ? BareJob.OfFolder(request.Names[0], request.Airframe, request.Survey, said)
            : request.Names.Count == 2 ? BareJob.Of([request.Names[0]], [request.Names[1]], request.Airframe, request.Survey, said)
            : BareJob.Of(request.Before, request.After, request.Airframe, request.Survey, said);
        return job with
        {
            Before = [.. job.Before.Select(f => f with { AmbientC = request.AmbientBefore })],
            After = [.. job.After.Select(f => f with { AmbientC = request.AmbientAfter })],
        };
    }

    private static void RefuseTwice(Request request)
    {
        (string Option, bool Given)[] options =
        [
            ("--airframe", request.Airframe is not null),
            ("--survey", request.Survey is not null),
            ("--ambient-before", request.AmbientBefore is not null),
            ("--ambient-after", request.AmbientAfter is not null),
        ];
        if (options.FirstOrDefault(o => o.Given).Option is string twice)
        {
            throw new UsageException(
                $"{twice} is given beside a job file. Write it in the job file, or name the flights with --before and --after."
            );
        }
    }

    private static void WriteRemarks(Terminal terminal, Job job, Comparison comparison)
    {
        InputRemarks.Write(terminal, job.Airframe ?? "", comparison.Airframe.Remarks);
        InputRemarks.Write(terminal, job.Survey ?? "", comparison.Survey?.Remarks ?? []);
    }

    private static IEnumerable<string?> FilesOf(Job job) =>
        job
            .Before.Concat(job.After)
            .Concat(job.Stages.SelectMany(s => s.Flights))
            .SelectMany(flight => (IEnumerable<string?>)[.. flight.Files.Imu, .. flight.Files.Esc, flight.Columns])
            .Concat([job.Airframe, job.Survey]);

    /// <summary>Loads the drawing library on another core while the job file is being read; the flights are read only after it.</summary>
    private static void PreparePage(string? report)
    {
        if (report is not null)
        {
            _ = PageDrawing.PrepareAsync();
        }
    }

    /// <summary>A job with dated stages: the history of an airframe. Its page shows each metric stage by stage, then the last stage against
    /// the first.</summary>
    private static int RunHistory(Terminal terminal, Job job, Request request)
    {
        History history = LongWork.Run(
            terminal,
            "Reading and comparing the flights",
            (progress, fitted) =>
                JobHistory.Run(
                    JobReader.ReadHistory(job, ReadOptions.Default with { Progress = progress }),
                    job.Options with
                    {
                        Progress = fitted,
                    }
                )
        );
        WriteRemarks(terminal, job, history.Whole);
        ResultOutput.Write(
            terminal,
            (request.Json, stream => HistoryJson.Write(history, stream)),
            (request.Report, stream => HistoryPage.Write(history, stream, DetailsOf(job))),
            () => HistorySummary.Write(history, terminal.Console, request.Plain)
        );
        TableOutput.Write(terminal, request.Tables, TableOutput.Stages, () => HistoryTable.Of(history));
        TableOutput.Write(terminal, request.Tables, TableOutput.Motors, () => MotorTable.Of(history.Whole));
        return history.Whole.Verdict == Verdict.NotComparable ? ExitCode.NotComparable : ExitCode.Done;
    }

    private sealed record Request(
        IReadOnlyList<string> Names,
        IReadOnlyList<string> Before,
        IReadOnlyList<string> After,
        string? Airframe,
        string? Survey,
        double? AmbientBefore,
        double? AmbientAfter,
        Func<ReadOptions> Read,
        string? Columns,
        string? Json,
        string? Report,
        string? Tables,
        bool Open,
        bool Plain,
        bool IgnoreDates
    );
}
