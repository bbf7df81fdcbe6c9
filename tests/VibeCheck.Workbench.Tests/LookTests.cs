using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;

namespace VibeCheck.Workbench.Tests;

/// <summary>The pages as browsers lay them out: on a desk, on a phone, in the dark.</summary>
[Trait("Category", "Slow")]
public sealed class LookTests(DeskBrowser browser, LookTests.SampleDesk sample)
    : IClassFixture<DeskBrowser>,
        IClassFixture<LookTests.SampleDesk>
{
    /// <summary>One workbench on the sample job for all sizes and colours.</summary>
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

    private static readonly string[] s_places = ["aircraft", "job", "job?motor=M1#survey", "answer", "answer?motor=M3"];

    [Theory]
    [InlineData(1200, ColorScheme.Light)]
    [InlineData(1200, ColorScheme.Dark)]
    [InlineData(360, ColorScheme.Light)]
    [InlineData(360, ColorScheme.Dark)]
    public async Task Pages_are_accessible_fit_their_width_and_leave_the_console_empty(int width, ColorScheme scheme)
    {
        DeskProcess desk = sample.Desk;
        DeskPage at = await browser.OpenAsync(
            desk,
            new()
            {
                ViewportSize = new() { Width = width, Height = 800 },
                ColorScheme = scheme,
            }
        );
        await at.GoAsync(desk, "job");
        await at.Page.Locator("#outcome .verdict").WaitForAsync();
        foreach (string place in s_places)
        {
            await at.GoAsync(desk, place);
            if (Environment.GetEnvironmentVariable("VIBECHECK_PICTURES") is string pictures)
            {
                await at.Page.ScreenshotAsync(
                    new()
                    {
                        Path = Path.Combine(pictures, $"{place.Split('?', '#')[0]}-{s_places.IndexOf(place)}-{width}-{scheme}.png"),
                        FullPage = width < 500 || !place.StartsWith("answer", StringComparison.Ordinal),
                    }
                );
            }

            AxeResult result = await at.Page.RunAxe();
            Assert.Empty(
                result
                    .Violations.Where(v => v.Impact is "serious" or "critical")
                    .Select(v => $"{place}: {v.Id} {v.Help}: {string.Join(" ", v.Nodes.Take(3).Select(n => n.Html))}")
            );
            int overflow = await at.Page.EvaluateAsync<int>(
                "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
            );
            Assert.True(overflow <= 0, $"{place} at {width} px is {overflow} px too wide");
        }

        at.AssertQuiet(desk);
    }
}
