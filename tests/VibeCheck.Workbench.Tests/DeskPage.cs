using Microsoft.Playwright;

namespace VibeCheck.Workbench.Tests;

/// <summary>A page of the workbench in a browser, with all that the browser complained about and asked for.</summary>
internal sealed class DeskPage
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

    internal async Task EnterAsync(DeskProcess desk)
    {
        await Page.GotoAsync(desk.Address.AbsoluteUri);
        await LiveAsync();
    }

    /// <summary>Goes to a place of the workbench and waits until it answers to clicks.</summary>
    internal async Task GoAsync(DeskProcess desk, string place)
    {
        await Page.GotoAsync(new Uri(desk.Origin, place).AbsoluteUri);
        await LiveAsync();
    }

    /// <summary>Waits for the page's connection: what is clicked before is lost.</summary>
    internal Task LiveAsync() => Page.Locator("body[data-live]").WaitForAsync(new() { State = WaitForSelectorState.Attached });

    /// <summary>Nothing on the console, nothing asked for elsewhere.</summary>
    internal void AssertQuiet(DeskProcess desk)
    {
        Assert.Empty(_complaints);
        Assert.All(_asked, url => Assert.StartsWith(desk.Origin.AbsoluteUri, url, StringComparison.Ordinal));
    }
}
