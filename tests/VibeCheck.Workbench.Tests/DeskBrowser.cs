using Microsoft.Playwright;
using VibeCheck.BenchSheet.Tests.Browser;

// Most tests wait for a browser or for a connection that was cut, so three run at once: one more than two cores could run.
[assembly: Xunit.v3.Parallelization(MaxThreads = 3)]
[assembly: AssemblyFixture(typeof(VibeCheck.Workbench.Tests.DeskBrowser))]

namespace VibeCheck.Workbench.Tests;

/// <summary>The system's browser, shared by all tests. Tests are skipped with a message where there is none; a browser is never
/// downloaded.</summary>
public sealed class DeskBrowser : IAsyncLifetime
{
    private IPlaywright? _playwright;
    private IBrowser? _browser;

    public async ValueTask InitializeAsync()
    {
        if (Program() is string program)
        {
            _playwright = await Playwright.CreateAsync();
            _browser = await _playwright.Chromium.LaunchAsync(
                new() { ExecutablePath = program, Args = ["--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"] }
            );
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
        }

        _playwright?.Dispose();
    }

    /// <summary>Opens a page that has entered the workbench.</summary>
    /// <param name="desk">The workbench.</param>
    /// <param name="options">Window size, colours and other settings; null for a desktop.</param>
    internal async Task<DeskPage> OpenAsync(DeskProcess desk, BrowserNewContextOptions? options = null)
    {
        Assert.SkipUnless(_browser is not null, "there is no chromium on this machine");
        IBrowserContext context = await _browser!.NewContextAsync(
            options
                ?? new()
                {
                    ViewportSize = new() { Width = 1200, Height = 900 },
                }
        );
        Patience.Set(context);
        DeskPage page = new(await context.NewPageAsync());
        await page.EnterAsync(desk);
        return page;
    }

    private static string? Program() =>
        (Environment.GetEnvironmentVariable("PATH") ?? "")
            .Split(Path.PathSeparator)
            .SelectMany(folder => (string[])[Path.Combine(folder, "chromium"), Path.Combine(folder, "chromium-browser")])
            .FirstOrDefault(File.Exists);
}
