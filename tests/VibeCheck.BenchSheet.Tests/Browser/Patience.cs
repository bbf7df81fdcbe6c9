using System.Diagnostics;
using Microsoft.Playwright;

namespace VibeCheck.BenchSheet.Tests.Browser;

/// <summary>How long a test waits for a page before it fails. A page usually appears within seconds, but on a machine whose cores were all
/// busy with other tests it took more than half a minute.</summary>
internal static class Patience
{
    internal const float PageMs = 180_000;

    /// <summary>Sets the timeout of all actions and expectations on a page.</summary>
    internal static void Set(IBrowserContext context)
    {
        context.SetDefaultTimeout(PageMs);
        Assertions.SetDefaultExpectTimeout(PageMs);
    }

    /// <summary>Waits until a condition holds; fails where it does not hold in time.</summary>
    internal static async Task UntilAsync(Func<bool> done, string what)
    {
        var watch = Stopwatch.StartNew();
        while (!done())
        {
            Assert.True(watch.Elapsed.TotalMilliseconds < PageMs, "not in time: " + what);
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }
    }
}
