using Microsoft.Playwright;

namespace VibeCheck.Workbench.Tests;

/// <summary>A page of the workbench in a browser, with all errors that the browser reported and all requests that it made. It is closed
/// when disposed: an open page would keep sending requests to a workbench that has ended.</summary>
internal sealed class DeskPage : IAsyncDisposable
{
    private readonly List<string> _complaints = [];
    private readonly List<string> _asked = [];

    internal DeskPage(IPage page)
    {
        Page = page;
        page.Console += (_, message) =>
        {
            if (message.Type is "error" or "warning")
            {
                _complaints.Add(message.Text);
            }
        };
        page.PageError += (_, error) => _complaints.Add(error);
        page.Request += (_, request) => _asked.Add(request.Url);
    }

    internal IPage Page { get; }

    public async ValueTask DisposeAsync() => await Page.Context.CloseAsync();

    internal async Task EnterAsync(DeskProcess desk)
    {
        await Page.GotoAsync(desk.Address.AbsoluteUri);
        await LiveAsync();
    }

    /// <summary>Opens an address of the workbench and waits until the page responds to clicks.</summary>
    internal async Task GoAsync(DeskProcess desk, string place)
    {
        await Page.GotoAsync(new Uri(desk.Origin, place).AbsoluteUri);
        await LiveAsync();
    }

    /// <summary>Waits for the page's connection: clicks before it are lost.</summary>
    internal Task LiveAsync() => Page.Locator("body[data-live]").WaitForAsync(new() { State = WaitForSelectorState.Attached });

    /// <summary>Asserts that there was no console message and no request to another server.</summary>
    /// <param name="desk">The workbench.</param>
    /// <param name="except">Part of the one message that the test itself may cause; null for none.</param>
    internal void AssertQuiet(DeskProcess desk, string? except = null)
    {
        Assert.DoesNotContain(_complaints, c => except is null || !c.Contains(except, StringComparison.Ordinal));
        Assert.All(_asked, url => Assert.StartsWith(desk.Origin.AbsoluteUri, url, StringComparison.Ordinal));
    }
}
