using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;

namespace VibeCheck.Workbench.Jobs;

/// <summary>The logs of the folder, read one after the other in the background to say how each was understood.</summary>
internal sealed class LogShelf : IDisposable
{
    private static readonly TimeSpan s_between = TimeSpan.FromMilliseconds(150);
    private readonly JobFolder _folder;
    private readonly Action<IReadOnlyList<LogEntry>, bool> _changed;
    private readonly Func<bool> _yields;
    private readonly Task _ready;
    private readonly Lock _gate = new();
    private readonly Dictionary<string, LogEntry> _logs = new(StringComparer.Ordinal);
    private readonly Dictionary<string, CancellationTokenSource> _stops = new(StringComparer.Ordinal);
    private readonly CancellationTokenSource _end = new();
    private ColumnsFile? _columns;
    private bool _works;
    private DateTime _told;

    /// <param name="folder">The folder.</param>
    /// <param name="changed">Takes the logs whenever one changes, and whether nothing is left to read.</param>
    /// <param name="yields">Whether the answer is being calculated, which goes first.</param>
    /// <param name="ready">What to wait for before the first reading.</param>
    internal LogShelf(JobFolder folder, Action<IReadOnlyList<LogEntry>, bool> changed, Func<bool> yields, Task ready) =>
        (_folder, _changed, _yields, _ready) = (folder, changed, yields, ready);

    /// <summary>Finds the logs that are new or changed, and reads them.</summary>
    internal void Look(Job? job, ColumnsFile? columns)
    {
        string[] paths =
        [
            .. _folder
                .Logs()
                .Concat((job?.Before ?? []).Concat(job?.After ?? []).SelectMany(f => f.Files.Imu.Concat(f.Files.Esc)))
                .DistinctBy(Path.GetFullPath)
                .Where(File.Exists),
        ];
        lock (_gate)
        {
            _columns = columns;
            foreach (string gone in _logs.Keys.Except(paths).ToArray())
            {
                _logs.Remove(gone);
            }

            foreach (string path in paths)
            {
                LogEntry found = EntryOf(path);
                if (!_logs.TryGetValue(path, out LogEntry? known) || (known.SizeBytes, known.Modified) != (found.SizeBytes, found.Modified))
                {
                    _logs[path] = found;
                }
            }
        }

        Tell(rests: false);
        Work();
    }

    /// <summary>Reads all logs again, such as after a word on their columns.</summary>
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
                _logs[path] = EntryOf(path);
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

    private LogEntry EntryOf(string path)
    {
        FileInfo file = new(path);
        return new()
        {
            Path = path,
            Name = _folder.NameOf(path),
            SizeBytes = file.Length,
            Modified = file.LastWriteTimeUtc,
        };
    }

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
            await YieldAsync().ConfigureAwait(false);
            while (Next() is LogEntry log)
            {
                Put(ReadOne(log));
                Tell(rests: false);
                await YieldAsync().ConfigureAwait(false);
            }

            Tell(rests: true);
        });
    }

    /// <summary>Waits while the answer is being calculated, but not for ever: two minutes at most.</summary>
    private async Task YieldAsync()
    {
        const int MostWaits = 4000;
        for (int i = 0; i < MostWaits && _yields() && !_end.IsCancellationRequested; i++)
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
                _works = false;
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
            var record = LogInspection.Read([log.Path], options, stop.Token)[0];
            return log with { State = LogState.Read, Share = 1, Record = record, Samples = LogInspection.Samples(log.Path, options) };
        }
        catch (InputFaultException e)
        {
            return WithHeaders(log with { State = LogState.Faulty, Faults = e.Faults }, options);
        }
        catch (OperationCanceledException)
        {
            return log with { State = LogState.Stopped };
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return log with
            {
                State = LogState.Faulty,
                Faults =
                [
                    new(
                        log.Name,
                        null,
                        null,
                        $"the file cannot be read ({e.Message.TrimEnd('.')})",
                        "Close other programs that hold it, and read it again."
                    ),
                ],
            };
        }
        finally
        {
            lock (_gate)
            {
                _stops.Remove(log.Path);
            }

            stop.Dispose();
        }
    }

    /// <summary>What the columns may be, so that the user can say what they are; as it is where there is nothing like columns.</summary>
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
            if (!_logs.TryGetValue(path, out LogEntry? log) || DateTime.UtcNow - _told < s_between)
            {
                return;
            }

            _told = DateTime.UtcNow;
            _logs[path] = log with { Share = share };
        }

        Tell(rests: false);
    }

    private void Put(LogEntry log)
    {
        lock (_gate)
        {
            // It may have been taken away, or changed, while it was read.
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
