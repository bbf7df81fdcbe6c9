namespace VibeCheck.Workbench.Jobs;

/// <summary>Gives the first page priority over the calculations: they wait until it reacts to clicks, but 1.5 s at most.</summary>
/// <remarks>On two cores, reading logs while the page is built doubles the time until it can be used (docs/workbench.md).</remarks>
internal sealed class FirstPage
{
    private static readonly TimeSpan s_most = TimeSpan.FromSeconds(1.5);
    private readonly TaskCompletionSource _opened = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly Task _late = Task.Delay(s_most);

    /// <summary>Completes when a page is live, or when the longest wait is over.</summary>
    internal Task Ready => Task.WhenAny(_opened.Task, _late);

    /// <summary>Called by a page when it is live.</summary>
    internal void Opened() => _opened.TrySetResult();
}
