using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;

namespace VibeCheck.Campaigns.Damage;

/// <summary>Reads and compares a job file the way the program does.</summary>
internal static class JobRun
{
    /// <summary>Everything read and analysed from the files.</summary>
    internal static JobAnswers Of(string path) => Of(path, FlightReader.Read, FlightCheck.Of);

    /// <summary>The same with other sources of a flight and of its analysis, such as stored ones.</summary>
    internal static JobAnswers Of(
        string path,
        Func<FlightFiles, ReadOptions, Airframe, CancellationToken, Flight> read,
        Func<Flight, Airframe, AnalysisOptions, FlightAnalysis> analyse
    )
    {
        try
        {
            Job job = JobFile.Read(path);
            return JobAnswers.Of(
                job.Stages.Count > 0
                    ? JobHistory.Run(JobReader.ReadHistory(job), job.Options).Whole
                    : JobComparison.Run(JobReader.Read(job, null, read), job.Options, analyse)
            );
        }
        catch (InputFaultException e)
        {
            return new() { End = RunEnd.Refused, Why = e.Fault.Problem };
        }
        catch (Exception e)
        {
            // A fault of the tool itself, also lack of memory, is a result of the campaign and does not end it.
            return new() { End = RunEnd.Crashed, Why = $"{e.GetType().Name}: {(e.InnerException ?? e).Message.ReplaceLineEndings(" ")}" };
        }
    }
}
