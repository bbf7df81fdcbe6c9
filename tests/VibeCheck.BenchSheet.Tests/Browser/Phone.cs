using System.Globalization;
using Microsoft.Playwright;

namespace VibeCheck.BenchSheet.Tests.Browser;

/// <summary>A touch phone with its own browser; it records errors on the console and requests to other servers.</summary>
internal sealed class Phone : IAsyncDisposable
{
    private readonly IPlaywright _playwright;
    private readonly IBrowser _browser;
    private readonly List<string> _errors = [];

    private Phone(IPlaywright playwright, IBrowser browser, IBrowserContext context, IPage page)
    {
        (_playwright, _browser, Context, Page) = (playwright, browser, context, page);
        page.Console += (_, message) => Note(message.Type == "error", message.Text);
        page.PageError += (_, error) => Note(true, error);
    }

    internal IBrowserContext Context { get; }

    internal IPage Page { get; }

    /// <summary>Errors on the console, except those caused by a cut connection.</summary>
    internal IReadOnlyList<string> Errors =>
        [
            .. _errors.Where(e =>
                !e.Contains("ERR_INTERNET_DISCONNECTED", StringComparison.Ordinal)
                && !e.Contains("ERR_EMPTY_RESPONSE", StringComparison.Ordinal)
                && !e.Contains("ERR_CONNECTION_", StringComparison.Ordinal)
            ),
        ];

    internal static string? Browser =>
        (Environment.GetEnvironmentVariable("PATH") ?? "")
            .Split(Path.PathSeparator)
            .SelectMany(folder => (string[])[Path.Combine(folder, "chromium"), Path.Combine(folder, "chromium-browser")])
            .FirstOrDefault(File.Exists);

    internal static async Task<Phone> Start(int width = 360, int height = 640)
    {
        Assert.SkipUnless(Browser is not null, "there is no chromium on this machine");
        IPlaywright playwright = await Playwright.CreateAsync();
        IBrowser browser = await playwright.Chromium.LaunchAsync(
            new() { ExecutablePath = Browser, Args = ["--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"] }
        );
        IBrowserContext context = await browser.NewContextAsync(
            new()
            {
                ViewportSize = new() { Width = width, Height = height },
                HasTouch = true,
                IsMobile = true,
                DeviceScaleFactor = 2,
                Locale = "de-DE",
            }
        );
        Patience.Set(context);
        return new(playwright, browser, context, await context.NewPageAsync());
    }

    public async ValueTask DisposeAsync()
    {
        await _browser.DisposeAsync();
        _playwright.Dispose();
    }

    /// <summary>Opens the sheet and waits until it accepts taps.</summary>
    internal async Task Open(Uri address)
    {
        await Page.GotoAsync(address.ToString());
        await Ready();
    }

    internal Task Ready() => Page.WaitForSelectorAsync("body[data-ready][data-rehearsed]", new() { State = WaitForSelectorState.Attached });

    /// <summary>Taps a button by its text or label.</summary>
    internal Task Tap(string name, bool exact = true) => Page.GetByRole(AriaRole.Button, new() { Name = name, Exact = exact }).TapAsync();

    internal Task TapBox(string name) => Page.GetByRole(AriaRole.Checkbox, new() { Name = name, Exact = true }).TapAsync();

    /// <summary>Types an angle on the number pad, key by key.</summary>
    internal async Task Type(string angle)
    {
        foreach (char key in angle)
        {
            await Tap(
                key switch
                {
                    ',' => "decimal comma",
                    '.' => "decimal point",
                    '/' => "/ flickers: between two values",
                    _ => key.ToString(CultureInfo.InvariantCulture),
                }
            );
        }
    }

    /// <summary>Enters one reading: the angle, then the low side.</summary>
    internal async Task Read(string angle, string side)
    {
        await Type(angle);
        await Page.Locator(".bench .side." + side).TapAsync();
    }

    private void Note(bool isError, string text)
    {
        if (isError)
        {
            _errors.Add(text);
        }
    }
}
