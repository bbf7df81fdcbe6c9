using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;
using VibeCheck.Logs.Surveys;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.AircraftHistory;

/// <summary>All jobs of the aircraft on the desk: the one on the desk, those in its subfolders up to two levels deep, and those in folders
/// beside it. They are read, never written. Only a summary of each is kept.</summary>
internal sealed class AircraftJobs(Desk desk) : IDisposable
{
    private const int MostJobs = 200;
    private readonly Lock _gate = new();
    private readonly Dictionary<string, (string Stamp, JobSummary? Summary)> _known = new(StringComparer.Ordinal);
    private readonly CancellationTokenSource _end = new();
    private IReadOnlyList<JobSummary> _all = [];
    private bool _works,
        _again;

    /// <summary>Raised when a job was summarised or all were read; on any thread.</summary>
    internal event Action? Changed;

    /// <summary>Summaries of the jobs read so far, in the order of their days.</summary>
    internal IReadOnlyList<JobSummary> All => Volatile.Read(ref _all);

    /// <summary>Why jobs could not be looked for, as sentences; null where they could.</summary>
    internal string? Problem { get; private set; }

    /// <summary>Reads the flights of a job.</summary>
    internal Func<Job, CancellationToken, JobFlights> Reader { get; init; } = (job, cancel) => JobReader.Read(job, null, cancel);

    /// <summary>Whether jobs are still being read.</summary>
    internal bool Works
    {
        get
        {
            lock (_gate)
            {
                return _works;
            }
        }
    }

    /// <summary>Looks for jobs, and reads those that are new or changed, one after the other.</summary>
    internal void Look()
    {
        lock (_gate)
        {
            _again = true;
            if (_works)
            {
                return;
            }

            _works = true;
        }

        _ = Task.Run(Work);
    }

    public void Dispose() => _end.Cancel();

    private void Work()
    {
        while (true)
        {
            lock (_gate)
            {
                if (!_again || _end.IsCancellationRequested)
                {
                    _works = false;
                    break;
                }

                _again = false;
            }

            if (desk.View.Airframe is Airframe airframe)
            {
                Problem = ProblemIn(() => Read(airframe));
            }
        }

        Changed?.Invoke();
    }

    private static string? ProblemIn(Action work)
    {
        try
        {
            work();
            return null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return $"The jobs could not be read: {e.Message.TrimEnd('.')}. Load the page again once the folder can be read.";
        }
#pragma warning disable CA1031 // The edge of the background work: a bug must be shown on the page, which would otherwise wait for ever.
        catch (Exception e)
#pragma warning restore CA1031
        {
            return OwnFault.Text(e);
        }
    }

    private void Read(Airframe airframe)
    {
        string[] folders = [.. Folders()];
        foreach (string folder in folders.TakeWhile(_ => !_end.IsCancellationRequested))
        {
            // A fault of one job is shown in its row, and the next job is read.
            if (ProblemIn(() => ReadOne(folder, airframe, folders)) is string problem)
            {
                _known[folder] = ("", Unread(folder, problem));
                Show(folders);
            }
        }

        Show(folders);
    }

    private void ReadOne(string folder, Airframe airframe, string[] folders)
    {
        string stamp = StampOf(folder);
        if (!_known.TryGetValue(folder, out var known) || known.Stamp != stamp)
        {
            _known[folder] = (stamp, Summary(folder, airframe));
            Show(folders);
        }
    }

    private JobSummary Unread(string folder, string problem) =>
        new()
        {
            Folder = desk.Folder.NameOf(folder),
            Title = Path.GetFileName(folder),
            Day = DayOf([Path.Combine(folder, "job.toml")]),
            Missing = problem,
        };

    private void Show(string[] folders)
    {
        Volatile.Write(
            ref _all,
            [
                .. folders
                    .Where(_known.ContainsKey)
                    .Select(f => _known[f].Summary)
                    .OfType<JobSummary>()
                    .OrderBy(s => s.Day)
                    .ThenBy(s => s.Folder),
            ]
        );
        Changed?.Invoke();
    }

    private IEnumerable<string> Folders()
    {
        string own = Path.TrimEndingDirectorySeparator(Path.GetFullPath(desk.Folder.Path));
        var within = new EnumerationOptions
        {
            RecurseSubdirectories = true,
            MaxRecursionDepth = 1,
            IgnoreInaccessible = true,
        };
        var beside = new EnumerationOptions { IgnoreInaccessible = true };
        return new[] { own }
            .Concat(Directory.EnumerateDirectories(own, "*", within))
            .Concat(Path.GetDirectoryName(own) is string parent ? Directory.EnumerateDirectories(parent, "*", beside) : [])
            .DistinctBy(Path.TrimEndingDirectorySeparator)
            .Where(f => File.Exists(Path.Combine(f, "job.toml")))
            .Order(StringComparer.Ordinal)
            .Take(MostJobs);
    }

    /// <summary>A text that changes whenever a file of the job changes and, for the job on the desk, when its answer is ready.</summary>
    private string StampOf(string folder)
    {
        List<string> files = [Path.Combine(folder, "job.toml")];
        if (Job(folder) is Job job)
        {
            files.AddRange(new[] { job.Airframe, job.Survey }.OfType<string>());
            files.AddRange(
                job.Before.Concat(job.After).Concat(job.Stages.SelectMany(s => s.Flights)).SelectMany(f => f.Files.Imu.Concat(f.Files.Esc))
            );
        }

        string stamps = string.Join(
            '\n',
            files.Select(f => new FileInfo(f)).Select(f => f.Exists ? $"{f.FullName} {f.Length} {f.LastWriteTimeUtc.Ticks}" : f.FullName)
        );
        return IsOwn(folder) ? stamps + (desk.View.Answer.Result is null ? " none" : " answered") : stamps;
    }

    private bool IsOwn(string folder) => folder == Path.TrimEndingDirectorySeparator(Path.GetFullPath(desk.Folder.Path));

    private static Job? Job(string folder)
    {
        try
        {
            // A survey that is named before it is written has no readings yet.
            Job job = JobFile.ReadUnfinished(folder);
            return File.Exists(job.Survey) ? job : job with { Survey = null };
        }
        catch (InputFaultException)
        {
            return null;
        }
    }

    /// <summary>A summary of a job; null where it is of another aircraft, or its files do not name one.</summary>
    private JobSummary? Summary(string folder, Airframe airframe)
    {
        if (Job(folder) is not { Airframe: string file } job || !IsSame(airframe, file, out Airframe? own))
        {
            return null;
        }

        JobSummary summary = new()
        {
            Folder = desk.Folder.NameOf(folder),
            Title = job.Title,
            Fitted = Fitted(job, own!),
            Day = DayOf([job.Path, .. new[] { job.Survey }.OfType<string>()]),
        };
        if (job.Stages.Count == 0 && (job.Before.Count == 0 || job.After.Count == 0))
        {
            return summary with { Missing = job.Before.Count == 0 ? "no flight before the work yet" : "no flight after the work yet" };
        }

        try
        {
            (Verdict verdict, IReadOnlyList<JobSide> sides) = Result(folder, job);
            return summary with { Verdict = verdict, Sides = sides, Day = sides[^1].Day };
        }
        catch (InputFaultException e)
        {
            return summary with { Missing = e.Message };
        }
        catch (OperationCanceledException)
        {
            return null;
        }
    }

    /// <summary>The result of a job: for the job on the desk its answer where that is ready, otherwise calculated.</summary>
    private (Verdict Verdict, IReadOnlyList<JobSide> Sides) Result(string folder, Job job)
    {
        Answer? answer = IsOwn(folder) && desk.View.Answer is { Result: Answer ready, Works: false } ? ready : null;
        if (job.Stages.Count > 0)
        {
            History history = answer?.History ?? JobHistory.Run(JobReader.ReadHistory(job, null, _end.Token), job.Options);
            return (history.Whole.Verdict, JobSummary.Of(history));
        }

        Comparison comparison = answer?.Whole ?? JobComparison.Run(Reader(job, _end.Token), job.Options);
        return (comparison.Verdict, JobSummary.Of(comparison, isAfter => DayOf((isAfter ? job.After : job.Before)[0].Files.Imu)));
    }

    /// <summary>Whether a file describes the same aircraft: the same name and the same motor ids.</summary>
    private static bool IsSame(Airframe airframe, string file, out Airframe? own)
    {
        try
        {
            own = AirframeFile.Read(file);
            return own.Name.Equals(airframe.Name, StringComparison.OrdinalIgnoreCase)
                && own.Motors.Select(m => m.Id)
                    .Order(StringComparer.Ordinal)
                    .SequenceEqual(airframe.Motors.Select(m => m.Id).Order(StringComparer.Ordinal));
        }
        catch (InputFaultException)
        {
            own = null;
            return false;
        }
    }

    private static Dictionary<string, FittedShims> Fitted(Job job, Airframe airframe)
    {
        try
        {
            return job.Survey is not string survey
                ? []
                : SurveyFile
                    .ReadReadings(survey, airframe)
                    .Where(r => r is { When: SurveyTime.AsLeft, MotorId: not null, Fitted: not null })
                    .GroupBy(r => r.MotorId!)
                    .ToDictionary(g => g.Key, g => g.Last().Fitted!);
        }
        catch (InputFaultException)
        {
            return [];
        }
    }

    private static DateTime DayOf(IEnumerable<string> files) => files.Max(File.GetLastWriteTimeUtc);
}
