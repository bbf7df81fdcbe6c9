using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace VibeCheck.Workbench.Tests;

/// <summary>Layout of the pages in a browser: on a desktop, on a phone, with dark colours.</summary>
[Trait("Category", "Slow")]
public sealed class LookTests(DeskBrowser browser, LookTests.SampleDesk sample) : IClassFixture<LookTests.SampleDesk>
{
    /// <summary>One workbench on the sample job for all window sizes and colours.</summary>
    public sealed class SampleDesk : IDisposable
    {
        private readonly ScratchFolder _folder = ScratchFolder.Of("reshim-hexa");

        public SampleDesk() => Desk = DeskProcess.Start(_folder.Path);

        internal DeskProcess Desk { get; }

        public void Dispose()
        {
            Desk.Dispose();
            _folder.Dispose();
        }
    }

    /// <summary>Addresses of the pages, those with one motor opened last: they show all that the address without a motor shows.</summary>
    private static readonly string[] s_places = ["job", "answer", "aircraft", "job?motor=M1#survey", "answer?motor=M3"];

    /// <summary>What the page logs where axe keeps it busy for longer than it waits for a message of the workbench (30 s), as on a machine
    /// with more work than processors. It reconnects.</summary>
    private const string NoMessage = "Server timeout elapsed without receiving a message from the server";

    /// <summary>Window widths and colour schemes, each with the rules of axe to check; empty for all rules. After the first only rules are
    /// checked that its width or colours can violate.</summary>
    private static readonly (int Width, ColorScheme Scheme, string[] Rules)[] s_looks =
    [
        (1200, ColorScheme.Light, []),
        (1200, ColorScheme.Dark, ["color-contrast"]),
        (360, ColorScheme.Light, ["scrollable-region-focusable", "target-size"]),
    ];

    [Fact]
    public async Task Pages_are_accessible_in_light_and_dark_on_a_desk_and_a_phone_fit_their_width_and_leave_the_console_empty()
    {
        DeskProcess desk = sample.Desk;
        await using DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job");
        await at.Page.Locator("#outcome .verdict").WaitForAsync();
        foreach (string place in s_places)
        {
            await at.GoAsync(desk, place);
            bool isShownLater = s_places.Any(p => p.StartsWith(place + "?", StringComparison.Ordinal));
            foreach ((int width, ColorScheme scheme, string[] rules) in s_looks)
            {
                await ShowAsync(at.Page, place, width, scheme);
                await AssertFitsAsync(at.Page, place);
                if (!isShownLater)
                {
                    await AssertAccessibleAsync(at.Page, $"{place}, {width} px, {scheme}", rules);
                }
            }

            // Opened at phone width, not resized afterwards.
            await at.GoAsync(desk, place);
            await AssertFitsAsync(at.Page, place);
            await at.Page.SetViewportSizeAsync(1200, 900);
        }

        at.AssertQuiet(desk, except: NoMessage);
    }

    private static async Task ShowAsync(IPage page, string place, int width, ColorScheme scheme)
    {
        await page.SetViewportSizeAsync(width, 900);
        await page.EmulateMediaAsync(new() { ColorScheme = scheme });

        // Where a folder for pictures is set, saves a picture for people to look at.
        if (Environment.GetEnvironmentVariable("VIBECHECK_PICTURES") is string pictures)
        {
            string name = $"{place.Split('?', '#')[0]}-{s_places.IndexOf(place)}-{width}-{scheme}.png";
            bool whole = width < 500 || !place.StartsWith("answer", StringComparison.Ordinal);
            await page.ScreenshotAsync(new() { Path = Path.Combine(pictures, name), FullPage = whole });
        }
    }

    private static async Task AssertAccessibleAsync(IPage page, string what, string[] rules)
    {
        AxeRunOptions options = new() { ResultTypes = [ResultType.Violations] };
        if (rules.Length > 0)
        {
            options.RunOnly = new() { Type = "rule", Values = [.. rules] };
        }

        AxeResult result = await page.RunAxe(options);
        Assert.Empty(
            result
                .Violations.Where(v => v.Impact is "serious" or "critical")
                .Select(v => $"{what}: {v.Id} {v.Help}: {string.Join(" ", v.Nodes.Take(3).Select(n => n.Html))}")
        );
    }

    private static async Task AssertFitsAsync(IPage page, string place)
    {
        int overflow = await page.EvaluateAsync<int>("() => document.documentElement.scrollWidth - document.documentElement.clientWidth");
        Assert.True(overflow <= 0, $"{place} at {page.ViewportSize!.Width} px is {overflow} px too wide");
    }
}
