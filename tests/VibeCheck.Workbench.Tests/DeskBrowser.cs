using Microsoft.Playwright;

// Most tests wait for a browser or for a connection that was cut: one more than two cores have room for them.
[assembly: Xunit.v3.Parallelization(MaxThreads = 3)]

namespace VibeCheck.Workbench.Tests;

/// <summary>The system's browser, one for all tests. Tests are skipped, and say so, where
/// there is none; a browser is never downloaded.</summary>
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
                new() { ExecutablePath = program, Args = ["--no-sandbox", "--disable-dev-shm-usage"] }
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

    /// <summary>A page that has entered the workbench.</summary>
    /// <param name="desk">The workbench.</param>
    /// <param name="options">Size, colours and the like; null for a desk.</param>
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
        context.SetDefaultTimeout(30_000);
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
