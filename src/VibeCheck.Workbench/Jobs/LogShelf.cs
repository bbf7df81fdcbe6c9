using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;

namespace VibeCheck.Workbench.Jobs;

/// <summary>The logs of the folder, read in the background to show how each was understood. A log is read only once: logs that the answer
/// has read come from the store, and flights that the answer will need are read into the store.</summary>
internal sealed class LogShelf : IDisposable
{
    private static readonly TimeSpan s_between = TimeSpan.FromMilliseconds(150);

    // Logs are read two at a time, as the answer reads them. At most this many bytes are read ahead into memory.
    private const int AtOnce = 2;
    private const long MostAheadBytes = 256L << 20;
    private readonly JobFolder _folder;
    private readonly FlightStore _flights;
    private readonly Action<IReadOnlyList<LogEntry>, bool> _changed;
    private readonly Func<DeskView> _view;
    private readonly Task _ready;
    private readonly Lock _gate = new();
    private readonly Dictionary<string, LogEntry> _logs = new(StringComparer.Ordinal);
    private readonly Dictionary<string, CancellationTokenSource> _stops = new(StringComparer.Ordinal);
    private readonly CancellationTokenSource _end = new();
    private ColumnsFile? _columns;
    private bool _works;
    private DateTime _reportedUtc;

    /// <param name="folder">The folder.</param>
    /// <param name="flights">The flights that the answer has read.</param>
    /// <param name="changed">Takes the logs whenever one changes, and whether nothing is left to read.</param>
    /// <param name="view">Gives what the desk shows; readings wait while the answer is being calculated.</param>
    /// <param name="ready">What to wait for before the first reading.</param>
    internal LogShelf(
        JobFolder folder,
        FlightStore flights,
        Action<IReadOnlyList<LogEntry>, bool> changed,
        Func<DeskView> view,
        Task ready
    ) => (_folder, _flights, _changed, _view, _ready) = (folder, flights, changed, view, ready);

    /// <summary>Reads one log.</summary>
    internal Func<string, ReadOptions, CancellationToken, FileRecord> Reader { get; init; } =
        (path, options, cancel) => LogInspection.Read([path], options, cancel)[0];

    /// <summary>Finds the logs that are new or changed, and reads them.</summary>
    internal void Look(Job? job, ColumnsFile? columns)
    {
        string[] paths = Paths(job);
        lock (_gate)
        {
            _columns = columns;
            foreach (string gone in _logs.Keys.Except(paths).ToArray())
            {
                _logs.Remove(gone);
            }

            foreach (string path in paths)
            {
                if (EntryOf(path) is not LogEntry found)
                {
                    // Deleted meanwhile.
                    _logs.Remove(path);
                }
                else if (
                    !_logs.TryGetValue(path, out LogEntry? known)
                    || (known.SizeBytes, known.Modified) != (found.SizeBytes, found.Modified)
                )
                {
                    _logs[path] = found;
                }
            }
        }

        Tell(rests: false);
        Work();
    }

    /// <summary>Whether a log was added, removed or changed since the shelf last looked.</summary>
    internal bool IsBehind(Job? job)
    {
        LogEntry?[] found = [.. Paths(job).Select(EntryOf)];
        lock (_gate)
        {
            return found.Length != _logs.Count
                || found.Any(f =>
                    f is null
                    || !_logs.TryGetValue(f.Path, out LogEntry? known)
                    || (known.SizeBytes, known.Modified) != (f.SizeBytes, f.Modified)
                );
        }
    }

    private string[] Paths(Job? job) =>
        [
            .. _folder
                .Logs()
                .Concat((job?.Before ?? []).Concat(job?.After ?? []).SelectMany(f => f.Files.Imu.Concat(f.Files.Esc)))
                .DistinctBy(Path.GetFullPath)
                .Where(p => File.Exists(p) && !IsSame(p, job?.Survey)),
        ];

    private static bool IsSame(string path, string? other) => other is not null && Path.GetFullPath(path) == Path.GetFullPath(other);

    /// <summary>Reads all logs again, such as after an entry on their columns.</summary>
    internal void ReadAll(ColumnsFile? columns)
    {
        foreach (string path in Snapshot().Select(l => l.Path))
        {
            ReadAgain(path, columns);
        }
    }

    internal void ReadAgain(string path, ColumnsFile? columns)
    {
        lock (_gate)
        {
            _columns = columns;
            if (_logs.TryGetValue(path, out LogEntry? log) && log.State != LogState.Reading)
            {
                if (EntryOf(path) is LogEntry found)
                {
                    // The earlier data of the log stay on the page until it has been read again.
                    _logs[path] = found with
                    {
                        Record = log.Record,
                        Samples = log.Samples,
                    };
                }
                else
                {
                    _logs[path] = Gone(log);
                }
            }
        }

        Work();
    }

    internal void Stop(string path)
    {
        lock (_gate)
        {
            if (_stops.TryGetValue(path, out CancellationTokenSource? stop))
            {
                stop.Cancel();
            }
            else if (_logs.TryGetValue(path, out LogEntry? log) && log.State == LogState.Waiting)
            {
                _logs[path] = log with { State = LogState.Stopped };
            }
        }

        Tell(rests: false);
    }

    public void Dispose() => _end.Cancel();

    /// <summary>A log that waits to be read; null where there is no such file any more.</summary>
    private LogEntry? EntryOf(string path)
    {
        FileInfo file = new(path);
        try
        {
            return new()
            {
                Path = path,
                Name = _folder.NameOf(path),
                SizeBytes = file.Length,
                Modified = file.LastWriteTimeUtc,
            };
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    private static LogEntry Gone(LogEntry log) =>
        Faulty(log, "the file is not there any more", "Put it back and read it again, or take its flight out of the job.");

    private static LogEntry Faulty(LogEntry log, string problem, string remedy) =>
        log with
        {
            State = LogState.Faulty,
            Faults = [new(log.Name, null, null, problem, remedy)],
        };

    private LogEntry[] Snapshot()
    {
        lock (_gate)
        {
            return [.. _logs.Values.OrderBy(l => l.Name, StringComparer.OrdinalIgnoreCase)];
        }
    }

    private void Work()
    {
        lock (_gate)
        {
            if (_works)
            {
                return;
            }

            _works = true;
        }

        _ = Task.Run(async () =>
        {
            await _ready.ConfigureAwait(false);
            do
            {
                await YieldAsync().ConfigureAwait(false);
                ReadAhead();
                await Task.WhenAll(Enumerable.Range(0, AtOnce).Select(_ => Task.Run(ReadWaiting))).ConfigureAwait(false);
            } while (!ComesToRest());
            Tell(rests: true);
        });
    }

    private async Task ReadWaiting()
    {
        await YieldAsync().ConfigureAwait(false);
        while (Next() is LogEntry log)
        {
            Put(ReadOne(log));
            Tell(rests: false);
            await YieldAsync().ConfigureAwait(false);
        }
    }

    /// <summary>Ends the work where nothing is left to read, and returns whether it did.</summary>
    private bool ComesToRest()
    {
        lock (_gate)
        {
            _works = !_end.IsCancellationRequested && _logs.Values.Any(l => l.State == LogState.Waiting);
            return !_works;
        }
    }

    /// <summary>Reads logs that are not placed yet as whole flights, in the way that the answer will request them.</summary>
    private void ReadAhead()
    {
        DeskView view = _view();
        HashSet<string> loose = [.. view.Loose.Select(l => l.Path)];
        LogEntry[] waiting = [.. Snapshot().Where(l => l.State == LogState.Waiting && loose.Contains(l.Path))];
        if (view.Airframe is not Airframe airframe || view.Job is not { Stages.Count: 0 } || waiting.Sum(l => l.SizeBytes) > MostAheadBytes)
        {
            return;
        }

        Parallel.ForEach(
            FlightsOf(waiting),
            new ParallelOptions { MaxDegreeOfParallelism = AtOnce },
            files => ReadAhead([files.Imu[0], .. files.Esc], files, airframe)
        );
    }

    /// <summary>Flights by names and headers; none where these are not clear, and the logs are then read one by one.</summary>
    private FlightFiles[] FlightsOf(LogEntry[] logs)
    {
        try
        {
            return
            [
                .. FlightSorting
                    .Flights([.. logs.Select(l => l.Path)], ReadOptions.Default with { Columns = _columns })
                    .Where(f => f is { Imu.Count: 1, Esc.Count: <= 1 } && f.Esc.All(esc => FlightSorting.AreAlike(f.Imu[0], esc))),
            ];
        }
        catch (Exception e) when (e is InputFaultException or IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }

    private void ReadAhead(string[] paths, FlightFiles files, Airframe airframe)
    {
        if (Begin(paths) is not CancellationTokenSource stop)
        {
            return;
        }

        ReadOptions options = ReadOptions.Default with
        {
            Columns = _columns,
            Progress = new Share(s => Array.ForEach(paths, p => OnShare(p, s))),
        };
        bool stopped = false;
        try
        {
            _flights.ReadAhead(files, options, airframe, stop.Token);
        }
        catch (OperationCanceledException)
        {
            stopped = true;
        }
#pragma warning disable CA1031 // Reading each log by itself reports what is wrong with it, also a bug of the tool.
        catch (Exception)
#pragma warning restore CA1031
        {
            stopped = false;
        }

        End(paths);
        stop.Dispose();
        foreach (string path in paths)
        {
            PutBack(path, stopped ? LogState.Stopped : LogState.Waiting);
        }

        Tell(rests: false);
    }

    /// <summary>Marks logs as being read; null where one of them no longer waits to be read.</summary>
    private CancellationTokenSource? Begin(string[] paths)
    {
        lock (_gate)
        {
            if (_end.IsCancellationRequested || paths.Any(p => _logs.GetValueOrDefault(p)?.State != LogState.Waiting))
            {
                return null;
            }

            var stop = CancellationTokenSource.CreateLinkedTokenSource(_end.Token);
            foreach (string path in paths)
            {
                _stops[path] = stop;
                _logs[path] = _logs[path] with { State = LogState.Reading };
            }

            return stop;
        }
    }

    private void End(string[] paths)
    {
        lock (_gate)
        {
            Array.ForEach(paths, p => _stops.Remove(p));
        }
    }

    private void PutBack(string path, LogState state)
    {
        lock (_gate)
        {
            if (_logs.TryGetValue(path, out LogEntry? log) && log.State == LogState.Reading)
            {
                _logs[path] = log with { State = state };
            }
        }
    }

    /// <summary>Waits while the answer is being calculated, two minutes at most.</summary>
    private async Task YieldAsync()
    {
        const int MostWaits = 4000;
        for (int i = 0; i < MostWaits && _view().Answer.Works && !_end.IsCancellationRequested; i++)
        {
            await Task.Delay(30).ConfigureAwait(false);
        }
    }

    private LogEntry? Next()
    {
        lock (_gate)
        {
            LogEntry? next = _end.IsCancellationRequested
                ? null
                : _logs.Values.Where(l => l.State == LogState.Waiting).OrderBy(l => l.SizeBytes).FirstOrDefault();
            if (next is null)
            {
                return null;
            }

            _stops[next.Path] = CancellationTokenSource.CreateLinkedTokenSource(_end.Token);
            return _logs[next.Path] = next with { State = LogState.Reading };
        }
    }

    private LogEntry ReadOne(LogEntry log)
    {
        CancellationTokenSource stop = _stops[log.Path];
        ReadOptions options = ReadOptions.Default with { Columns = _columns, Progress = new Share(s => OnShare(log.Path, s)) };
        try
        {
            FileRecord record = _flights.RecordOf(log.Path, options.Columns) ?? Reader(log.Path, options, stop.Token);
            return log with { State = LogState.Read, Share = 1, Record = record, Samples = LogInspection.Samples(log.Path, options) };
        }
        catch (InputFaultException e)
        {
            return WithHeaders(log with { State = LogState.Faulty, Record = null, Samples = null, Faults = e.Faults }, options);
        }
        catch (OperationCanceledException)
        {
            return log with { State = LogState.Stopped };
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Faulty(
                log,
                $"the file cannot be read ({e.Message.TrimEnd('.')})",
                "Close other programs that hold it, and read it again."
            );
        }
#pragma warning disable CA1031 // The edge of the background work: a bug must be shown at its log, and the next log is read.
        catch (Exception e)
#pragma warning restore CA1031
        {
            return Faulty(log, OwnFault.Problem(e), OwnFault.Remedy);
        }
        finally
        {
            End([log.Path]);
            stop.Dispose();
        }
    }

    /// <summary>Adds the columns found in the headers, so that the user can correct them; the entry is unchanged where there are no
    /// columns.</summary>
    private static LogEntry WithHeaders(LogEntry log, ReadOptions options)
    {
        try
        {
            return log with { Record = LogInspection.Headers(log.Path, options), Samples = LogInspection.Samples(log.Path, options) };
        }
        catch (InputFaultException)
        {
            return log;
        }
    }

    private void OnShare(string path, double share)
    {
        lock (_gate)
        {
            if (!_logs.TryGetValue(path, out LogEntry? log) || DateTime.UtcNow - _reportedUtc < s_between)
            {
                return;
            }

            _reportedUtc = DateTime.UtcNow;
            _logs[path] = log with { Share = share };
        }

        Tell(rests: false);
    }

    private void Put(LogEntry log)
    {
        lock (_gate)
        {
            // It may have been removed or changed while it was read.
            if (_logs.TryGetValue(log.Path, out LogEntry? now) && now.State == LogState.Reading)
            {
                _logs[log.Path] = log;
            }
        }
    }

    private void Tell(bool rests) => _changed(Snapshot(), rests);

    private sealed class Share(Action<double> report) : IProgress<double>
    {
        public void Report(double value) => report(value);
    }
}
