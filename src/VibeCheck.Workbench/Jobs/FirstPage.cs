namespace VibeCheck.Workbench.Jobs;

/// <summary>Lets the first page come before the calculations: they wait until it answers to clicks, but no longer than a moment.</summary>
/// <remarks>On two cores, logs that are read while the page is made double the time until it can be used (docs/workbench.md).</remarks>
internal sealed class FirstPage
{
    private static readonly TimeSpan s_most = TimeSpan.FromSeconds(1.5);
    private readonly TaskCompletionSource _opened = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly Task _late = Task.Delay(s_most);

    /// <summary>Done when a page is live, or when it is not to be waited for any longer.</summary>
    internal Task Ready => Task.WhenAny(_opened.Task, _late);

    /// <summary>Told by a page that it is live.</summary>
    internal void Opened() => _opened.TrySetResult();
}
