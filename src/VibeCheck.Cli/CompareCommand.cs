using System.CommandLine;
using VibeCheck.Core.Comparisons;
using VibeCheck.Logs;
using VibeCheck.Reports;

namespace VibeCheck.Cli;

/// <summary>Before, survey, after: did it help?</summary>
internal static class CompareCommand
{
    internal static Command Build(Terminal terminal)
    {
        Argument<string> job = new("JOB") { Description = "The job file: airframe, survey, flights before and after (job.toml)." };
        Option<string?> json = CommonOptions.Json(), report = CommonOptions.Report();
        Option<bool> plain = CommonOptions.Plain();
        Option<bool> ignoreDates = new("--ignore-dates") { Description = "Compare even where the logs' clocks put a flight before after one after." };
        Command command = new("compare", "Before, survey, after: did it help?") { job, json, report, plain, ignoreDates };
        command.SetAction(parsed => Run(terminal, parsed.GetRequiredValue(job), parsed.GetValue(json), parsed.GetValue(report), parsed.GetValue(plain), parsed.GetValue(ignoreDates)));
        return command;
    }

    internal static int Run(Terminal terminal, string jobPath, string? json, string? report, bool plain, bool ignoreDates = false)
    {
        var outputs = OutputPlan.Of(terminal, ("--json", json), ("--report", report));
        outputs.Spare(jobPath, Path.Combine(jobPath, "job.toml"));
        Job job = JobFile.Read(jobPath);
        outputs.Spare(FilesOf(job));
        PreparePage(report);
        InputRemarks.Write(terminal, jobPath, job.Remarks);

        if (job.Stages.Count > 0)
        {
            return RunHistory(terminal, job, json, report, plain);
        }

        Comparison comparison = LongWork.Run(terminal, "Reading and comparing the flights", progress =>
            JobComparison.Run(JobReader.Read(job, ReadOptions.Default with { Progress = progress }), job.Options with { IgnoreDates = ignoreDates }));
        WriteRemarks(terminal, job, comparison);
        foreach (var flight in comparison.Before.Concat(comparison.After))
        {
            HoverFault.ThrowIfNone(flight);
        }

        ResultOutput.Write(
            terminal,
            (json, stream => ComparisonJson.Write(comparison, stream)),
            (report, stream => ComparisonPage.Write(comparison, stream)),
            () => ComparisonSummary.Write(comparison, terminal.Console, plain));
        return comparison.Verdict == Verdict.NotComparable ? ExitCode.NotComparable : ExitCode.Done;
    }

    private static void WriteRemarks(Terminal terminal, Job job, Comparison comparison)
    {
        InputRemarks.Write(terminal, job.Airframe, comparison.Airframe.Remarks);
        InputRemarks.Write(terminal, job.Survey ?? "", comparison.Survey?.Remarks ?? []);
    }

    private static IEnumerable<string?> FilesOf(Job job) => job.Before.Concat(job.After).Concat(job.Stages.SelectMany(s => s.Flights))
        .SelectMany(flight => (IEnumerable<string?>)[.. flight.Files.Imu, .. flight.Files.Esc, flight.Columns])
        .Concat([job.Airframe, job.Survey]);

    /// <summary>Gets the drawing library ready on another core while the job, which the flights wait for, is being read.</summary>
    private static void PreparePage(string? report)
    {
        if (report is not null)
        {
            _ = PageDrawing.PrepareAsync();
        }
    }

    /// <summary>A job with dated stages: the life of an airframe. Its page shows each metric stage by stage, then the last stage against the first.</summary>
    private static int RunHistory(Terminal terminal, Job job, string? json, string? report, bool plain)
    {
        History history = LongWork.Run(terminal, "Reading and comparing the flights", progress =>
            JobHistory.Run(JobReader.ReadHistory(job, ReadOptions.Default with { Progress = progress }), job.Options));
        WriteRemarks(terminal, job, history.Whole);
        ResultOutput.Write(
            terminal,
            (json, stream => HistoryJson.Write(history, stream)),
            (report, stream => HistoryPage.Write(history, stream)),
            () => HistorySummary.Write(history, terminal.Console, plain));
        return history.Whole.Verdict == Verdict.NotComparable ? ExitCode.NotComparable : ExitCode.Done;
    }
}
