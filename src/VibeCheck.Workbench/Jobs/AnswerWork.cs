using VibeCheck.Logs.Inputs;

namespace VibeCheck.Workbench.Jobs;

/// <summary>Calculates the answer in the background after each change of the job; a new change cancels the work on an older one.</summary>
/// <param name="folder">The folder.</param>
/// <param name="flights">Keeps the flights that were read.</param>
/// <param name="show">Takes the state of the answer; from any thread.</param>
/// <param name="ready">What to wait for before the first calculation.</param>
internal sealed class AnswerWork(JobFolder folder, FlightStore flights, Action<AnswerState> show, Task ready) : IDisposable
{
    // Readings are often typed in quick succession, so the work starts after a pause.
    private static readonly TimeSpan s_settle = TimeSpan.FromMilliseconds(120);
    private readonly Lock _gate = new();
    private CancellationTokenSource? _running;
    private Task _last = Task.CompletedTask;
    private AnswerState _state = new();

    /// <summary>Starts the calculation, unless something is missing or cannot be read.</summary>
    /// <param name="missing">What the job lacks.</param>
    /// <param name="faults">What is wrong with files without which it is not known what the job lacks.</param>
    internal void Start(IReadOnlyList<string> missing, IReadOnlyList<InputFault> faults)
    {
        lock (_gate)
        {
            _running?.Cancel();
            _running = new CancellationTokenSource();
            if (missing.Count + faults.Count > 0)
            {
                Put(faults.Count > 0 ? new AnswerState { Faults = faults } : new AnswerState { Missing = missing });
                return;
            }

            Put(_state with { Works = true, Share = 0, Missing = [], Faults = [], OwnFault = null });
            CancellationToken cancel = _running.Token;
            _last = _last
                .ContinueWith(_ => Work(cancel), CancellationToken.None, TaskContinuationOptions.None, TaskScheduler.Default)
                .Unwrap();
        }
    }

    public void Dispose()
    {
        lock (_gate)
        {
            _running?.Cancel();
        }
    }

    private async Task Work(CancellationToken cancel)
    {
        try
        {
            await Task.Delay(s_settle, cancel).ConfigureAwait(false);
            await ready.WaitAsync(cancel).ConfigureAwait(false);
            Answer answer = Answer.Of(folder.Path, new Share(this, cancel), flights, cancel);
            flights.Trim();
            PutIfLatest(new AnswerState { Result = answer }, cancel);

            // The verdict is shown while the report is drawn; a fault of the drawing is reported as any other.
            await answer.ContentAsync().ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            // A newer change has started its own calculation.
        }
        catch (InputFaultException e)
        {
            PutIfLatest(new AnswerState { Faults = e.Faults }, cancel);
        }
#pragma warning disable CA1031 // The edge of the background work: a bug must be shown on the page, not end the server.
        catch (Exception e)
#pragma warning restore CA1031
        {
            PutIfLatest(new AnswerState { OwnFault = Jobs.OwnFault.Text(e) }, cancel);
        }
    }

    private void PutIfLatest(AnswerState state, CancellationToken cancel)
    {
        lock (_gate)
        {
            if (!cancel.IsCancellationRequested)
            {
                Put(state);
            }
        }
    }

    private void Put(AnswerState state)
    {
        _state = state;
        show(state);
    }

    private sealed class Share(AnswerWork work, CancellationToken cancel) : IProgress<double>
    {
        private static readonly TimeSpan s_between = TimeSpan.FromMilliseconds(200);
        private DateTime _reportedUtc = DateTime.UtcNow;

        public void Report(double value)
        {
            if (DateTime.UtcNow - _reportedUtc > s_between)
            {
                _reportedUtc = DateTime.UtcNow;
                work.PutIfLatest(work._state with { Share = value, Works = true }, cancel);
            }
        }
    }
}
