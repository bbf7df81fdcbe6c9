using VibeCheck.Core.Comparisons;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Pages;

namespace VibeCheck.Workbench.Jobs;

/// <summary>The answer of a job: a comparison, or the history of a job with stages. Its files equal those of the commands.</summary>
public sealed class Answer
{
    private readonly Comparison? _comparison;
    private readonly History? _history;
    private readonly JobDetails _details;
    private readonly Lazy<Task<string>> _content;

    private Answer(Comparison? comparison, History? history, JobDetails details)
    {
        (_comparison, _history, _details) = (comparison, history, details);
        _content = new(() =>
            Task.Run(() =>
                (comparison is null ? HistoryPage.Content(history!, details) : ComparisonPage.Content(comparison, details)).ToString()
            )
        );
    }

    /// <summary>The comparison; for a history, the last stage against the first.</summary>
    public Comparison Whole => _comparison ?? _history!.Whole;

    /// <summary>The history of a job with stages; null for any other.</summary>
    internal History? History => _history;

    /// <summary>Content of the report as HTML. It is drawn when it is first asked for, so that the verdict does not wait for the
    /// figures.</summary>
    internal Task<string> ContentAsync() => _content.Value;

    /// <summary>Calculates the answer as the command does, from the files alone.</summary>
    /// <param name="path">The job file, or its folder.</param>
    /// <param name="progress">Takes the share of the logs read, 0 to 1.</param>
    /// <param name="flights">Flights kept from an earlier reading.</param>
    /// <param name="cancellation">Ends it early.</param>
    /// <exception cref="InputFaultException">A file cannot be used.</exception>
    /// <exception cref="OperationCanceledException">It was ended early.</exception>
    internal static Answer Of(string path, IProgress<double> progress, FlightStore flights, CancellationToken cancellation)
    {
        Job job = JobFile.Read(path);
        ReadOptions options = ReadOptions.Default with { Progress = progress };
        JobDetails details = new(job.Tail, job.Serial, job.WorkOrder, job.Customer);
        if (job.Stages.Count > 0)
        {
            return new(null, JobHistory.Run(JobReader.ReadHistory(job, options, flights.Read, cancellation), job.Options), details);
        }

        JobFlights read = JobReader.Read(job, options, flights.Read, cancellation);
        cancellation.ThrowIfCancellationRequested();
        return new(JobComparison.Run(read, job.Options), null, details);
    }

    /// <summary>Writes the page of the report.</summary>
    internal void WriteReport(Stream stream)
    {
        if (_history is not null)
        {
            HistoryPage.Write(_history, stream, _details);
        }
        else
        {
            ComparisonPage.Write(_comparison!, stream, _details);
        }
    }

    /// <summary>Writes the JSON that <c>vibecheck compare --json</c> writes.</summary>
    internal void WriteJson(Stream stream)
    {
        if (_history is not null)
        {
            HistoryJson.Write(_history, stream);
        }
        else
        {
            ComparisonJson.Write(_comparison!, stream);
        }
    }
}
