using System.Globalization;
using System.IO.Compression;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using Microsoft.Playwright;
using VibeCheck.Workbench.Hosting;

namespace VibeCheck.Workbench.Tests;

/// <summary>The page of the answer: flights over time, one key to switch between before and after, the hover narrowed by dragging, and the
/// downloaded files.</summary>
[Trait("Category", "Slow")]
public sealed class TimeViewTests(DeskBrowser browser)
{
    private static readonly string[] s_exports = ["report.html", "compare.json", "motors.csv", "figures.zip"];

    private static async Task<DeskPage> OpenAnswerAsync(DeskBrowser browser, DeskProcess desk, BrowserNewContextOptions? options = null)
    {
        DeskPage at = await browser.OpenAsync(desk, options);
        await at.GoAsync(desk, "job");
        await at.Page.Locator("#outcome .verdict").WaitForAsync();
        await at.GoAsync(desk, "answer");
        await ShownAsync(at.Page, 0);
        // The time view moves down when the report above it appears.
        await at.Page.Locator("article.report").WaitForAsync();
        return at;
    }

    private static BrowserNewContextOptions Phone() =>
        new()
        {
            ViewportSize = new() { Width = 360, Height = 740 },
            HasTouch = true,
            IsMobile = true,
        };

    private static Task ShownAsync(IPage page, int flight) =>
        page.Locator($".timeview .plots[data-shown=\"{flight.ToString(CultureInfo.InvariantCulture)}\"]").WaitForAsync();

    [Fact]
    public async Task One_key_switches_between_before_and_after_zoom_changes_time_only_and_the_pointer_reads_values()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await OpenAnswerAsync(browser, desk);
        IPage page = at.Page;
        await page.Locator("h1").First.FocusAsync();
        await page.Keyboard.PressAsync("b");
        await ShownAsync(page, 1);
        await page.Keyboard.PressAsync("b");
        await ShownAsync(page, 0);
        ILocator map = page.Locator(".timeview .u-over").First;
        await map.ScrollIntoViewIfNeededAsync();
        LocatorBoundingBoxResult box = (await map.BoundingBoxAsync())!;
        await page.Mouse.MoveAsync(box.X + box.Width / 2, box.Y + box.Height / 2);
        await Assertions
            .Expect(page.Locator(".timeview .readout"))
            .ToHaveTextAsync(new Regex(@"^\d+\.\d s; \d+ Hz, .+ dB re 1.*motors M1", RegexOptions.Singleline));
        string first = await ZoomAsync(page);
        await DragAsync(page, box, 0.25f, 0.5f);
        string dragged = await ZoomOtherThanAsync(page, first);

        // The button sends a request to the server, whose response may take a moment.
        await page.GetByRole(AriaRole.Button, new() { Name = "Whole flight" }).ClickAsync();
        double[] ends = Ends(dragged);
        double[] whole = Ends(await ZoomOtherThanAsync(page, dragged));
        Assert.Equal(0.25 * (whole[1] - whole[0]), ends[1] - ends[0], 0.02 * (whole[1] - whole[0]));
        at.AssertQuiet(desk);
    }

    [Fact]
    public async Task The_hover_narrowed_by_dragging_is_in_the_job_and_the_command_gives_the_same_answer()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await OpenAnswerAsync(browser, desk);
        IPage page = at.Page;
        string before = Command.CompareJson(folder.Path);
        await page.GetByRole(AriaRole.Button, new() { Name = "Drag to narrow the hover" }).ClickAsync();
        ILocator map = page.Locator(".timeview .u-over").First;
        await map.ScrollIntoViewIfNeededAsync();
        await DragAsync(page, (await map.BoundingBoxAsync())!, 0.3f, 0.7f);
        await page.GetByRole(AriaRole.Button, new() { Name = "Use all of the hover again" }).WaitForAsync();
        await page.Locator(".exports [role=status]").WaitForAsync(new() { State = WaitForSelectorState.Detached });
        Assert.Contains(
            "hover_s = [",
            await File.ReadAllTextAsync(folder.In("job.toml"), TestContext.Current.CancellationToken),
            StringComparison.Ordinal
        );
        IAPIResponse answer = await page.APIRequest.GetAsync(new Uri(desk.Origin, "export/compare.json").AbsoluteUri);
        string json = Command.CompareJson(folder.Path);
        Assert.Equal(json, await answer.TextAsync());
        Assert.NotEqual(before, json);
        await page.GetByRole(AriaRole.Button, new() { Name = "Use all of the hover again" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Use all of the hover again" })
            .WaitForAsync(new() { State = WaitForSelectorState.Detached });
        Assert.Equal(before, Command.CompareJson(folder.Path));
        at.AssertQuiet(desk);
    }

    [Fact]
    public async Task A_hover_that_would_end_before_it_begins_is_refused_with_a_message_and_the_job_is_unchanged()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await OpenAnswerAsync(browser, desk);
        IPage page = at.Page;
        await Journey.FillAsync(page, "Hover only from, s", "12");
        await page.GetByRole(AriaRole.Button, new() { Name = "Use all of the hover again" }).WaitForAsync();
        await Journey.FillAsync(page, "to, s", "11");
        await page.GetByText("From 12 to 11 s is less than 2 s of hover.").First.WaitForAsync();
        Assert.NotNull(VibeCheck.Logs.Jobs.JobFile.Read(folder.Path).Before[0].HoverS);
    }

    [Fact]
    public async Task Every_file_of_the_answer_is_complete_and_the_page_prints()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await OpenAnswerAsync(browser, desk);
        IPage page = at.Page;
        var files = new Dictionary<string, byte[]>();
        foreach (string name in s_exports)
        {
            IDownload download = await page.RunAndWaitForDownloadAsync(() => page.Locator($".exports a[download=\"{name}\"]").ClickAsync());
            files[name] = await File.ReadAllBytesAsync(await download.PathAsync(), TestContext.Current.CancellationToken);
        }

        Assert.Contains("The shims helped", System.Text.Encoding.UTF8.GetString(files["report.html"]), StringComparison.Ordinal);
        Assert.Equal(Command.CompareJson(folder.Path), System.Text.Encoding.UTF8.GetString(files["compare.json"]));
        Assert.Equal(7, System.Text.Encoding.UTF8.GetString(files["motors.csv"]).Trim().Split('\n').Length);
        using var archive = new ZipArchive(new MemoryStream(files["figures.zip"]));
        Assert.True(archive.Entries.Count >= 5, $"{archive.Entries.Count} figures");
        foreach (ZipArchiveEntry entry in archive.Entries)
        {
            await using Stream figure = await entry.OpenAsync(TestContext.Current.CancellationToken);
            XDocument svg = await XDocument.LoadAsync(figure, LoadOptions.None, TestContext.Current.CancellationToken);
            Assert.Equal("{http://www.w3.org/2000/svg}svg", svg.Root!.Name.ToString());
            AssertHoldsWhatItUses(svg);
        }

        IPage paper = await page.Context.NewPageAsync();
        await paper.GotoAsync(new Uri(desk.Origin, "export/report.html?show=true").AbsoluteUri);
        byte[] pdf = await paper.PdfAsync(new() { Format = "A4" });
        Assert.Equal("%PDF-"u8.ToArray(), pdf[..5]);
        Assert.True(pdf.Length > 20_000, $"{pdf.Length} bytes of PDF");
        at.AssertQuiet(desk);
    }

    [Fact]
    public async Task A_figure_with_the_hatch_of_unknown_values_holds_its_pattern()
    {
        using var zip = new MemoryStream();
        FigureFiles.Write(
            "<figure><svg viewBox=\"0 0 20 10\"><rect width=\"20\" height=\"10\" fill=\"url(#unknown)\"/></svg><figcaption>A</figcaption></figure>",
            zip
        );
        using var archive = new ZipArchive(zip);
        await using Stream figure = await archive.Entries[0].OpenAsync(TestContext.Current.CancellationToken);
        AssertHoldsWhatItUses(await XDocument.LoadAsync(figure, LoadOptions.None, TestContext.Current.CancellationToken));
    }

    private static void AssertHoldsWhatItUses(XDocument svg)
    {
        string[] used =
        [
            .. svg.Descendants()
                .Attributes()
                .Where(a => a.Value.StartsWith("url(#", StringComparison.Ordinal) || a.Value.StartsWith('#') && a.Name.LocalName == "href")
                .Select(a => a.Value[(a.Value.IndexOf('#', StringComparison.Ordinal) + 1)..].TrimEnd(')')),
        ];
        Assert.Subset(svg.Descendants().Attributes("id").Select(a => a.Value).ToHashSet(), used.ToHashSet());
    }

    [Fact]
    public async Task The_time_view_comes_with_the_report_and_not_before_it()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        await at.Page.AddInitScriptAsync(
            "new MutationObserver(() => { if (document.querySelector('.timeview') && !document.querySelector('article.report')) "
                + "{ window.__early = true; } }).observe(document, { childList: true, subtree: true });"
        );
        await at.GoAsync(desk, "answer");
        await ShownAsync(at.Page, 0);
        Assert.False(await at.Page.EvaluateAsync<bool>("() => window.__early === true"));
    }

    [Fact]
    public async Task Two_fingers_zoom_the_time_and_one_moves_it()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await OpenAnswerAsync(browser, desk, Phone());
        IPage page = at.Page;
        ILocator map = page.Locator(".timeview .u-over").First;
        ICDPSession touch = await page.Context.NewCDPSessionAsync(page);
        await TouchAsync(touch, map, [0.4f, 0.6f], [0.3f, 0.7f], [0.2f, 0.8f]);
        string zoomed = await ZoomOtherThanAsync(page, "");
        await page.GetByRole(AriaRole.Button, new() { Name = "Whole flight" }).TapAsync();
        double[] whole = Ends(await ZoomOtherThanAsync(page, zoomed));
        double seconds = whole[1] - whole[0];

        // Fingers that move from a fifth of the width apart to three fifths apart show a third of the time, about the same centre.
        Assert.Equal(seconds / 3, Ends(zoomed)[1] - Ends(zoomed)[0], 0.02 * seconds);
        Assert.Equal((whole[0] + whole[1]) / 2, (Ends(zoomed)[0] + Ends(zoomed)[1]) / 2, 0.02 * seconds);

        await TouchAsync(touch, map, [0.4f, 0.6f], [0.3f, 0.7f], [0.2f, 0.8f]);
        await ZoomOtherThanAsync(page, string.Create(CultureInfo.InvariantCulture, $"{whole[0]:0.0} {whole[1]:0.0}"));
        double[] before = Ends(await ZoomAsync(page));
        await TouchAsync(touch, map, [0.7f], [0.6f], [0.4f]);
        double[] moved = Ends(
            await ZoomOtherThanAsync(page, string.Create(CultureInfo.InvariantCulture, $"{before[0]:0.0} {before[1]:0.0}"))
        );
        Assert.Equal(before[0] + 0.3 * seconds / 3, moved[0], 0.02 * seconds);
        Assert.Equal(before[1] - before[0], moved[1] - moved[0], 0.02 * seconds);
        at.AssertQuiet(desk);
    }

    [Fact]
    public async Task One_finger_narrows_the_hover_where_that_was_chosen_and_two_only_zoom()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await OpenAnswerAsync(browser, desk, Phone());
        IPage page = at.Page;
        await page.GetByRole(AriaRole.Button, new() { Name = "Whole flight" }).TapAsync();
        double[] whole = Ends(await ZoomOtherThanAsync(page, ""));
        ILocator narrow = page.GetByRole(AriaRole.Button, new() { Name = "Drag to narrow the hover" });
        await narrow.TapAsync();
        await Assertions.Expect(narrow).ToHaveAttributeAsync("aria-pressed", "true");
        ILocator map = page.Locator(".timeview .u-over").First;
        ICDPSession touch = await page.Context.NewCDPSessionAsync(page);
        await TouchAsync(touch, map, [0.3f], [0.35f], [0.3f, 0.7f], [0.2f, 0.8f]);
        await ZoomOtherThanAsync(page, string.Create(CultureInfo.InvariantCulture, $"{whole[0]:0.0} {whole[1]:0.0}"));
        Assert.Equal(0, (await page.Locator(".timeview .u-select").First.BoundingBoxAsync())?.Width ?? 0);
        Assert.DoesNotContain("hover_s", await ReadJobAsync(folder), StringComparison.Ordinal);
        await page.GetByRole(AriaRole.Button, new() { Name = "Whole flight" }).TapAsync();
        await Assertions
            .Expect(page.Locator(".timeview .plots"))
            .ToHaveAttributeAsync("data-zoom", string.Create(CultureInfo.InvariantCulture, $"{whole[0]:0.0} {whole[1]:0.0}"));

        await TouchAsync(touch, map, [0.3f], [0.5f], [0.7f]);
        await page.GetByRole(AriaRole.Button, new() { Name = "Use all of the hover again" }).WaitForAsync();
        double[] kept =
        [
            .. Regex
                .Match(await ReadJobAsync(folder), @"hover_s = \[([\d.]+), ([\d.]+)\]")
                .Groups.Cast<Group>()
                .Skip(1)
                .Select(g => double.Parse(g.Value, CultureInfo.InvariantCulture)),
        ];
        Assert.Equal(whole[0] + 0.3 * (whole[1] - whole[0]), kept[0], 0.02 * (whole[1] - whole[0]));
        Assert.Equal(whole[0] + 0.7 * (whole[1] - whole[0]), kept[1], 0.02 * (whole[1] - whole[0]));
        at.AssertQuiet(desk);
    }

    private static Task<string> ReadJobAsync(ScratchFolder folder) =>
        File.ReadAllTextAsync(folder.In("job.toml"), TestContext.Current.CancellationToken);

    /// <summary>Puts fingers down at shares of the width, moves them, and lifts them.</summary>
    private static async Task TouchAsync(ICDPSession touch, ILocator on, params float[][] places)
    {
        await on.ScrollIntoViewIfNeededAsync();
        LocatorBoundingBoxResult box = (await on.BoundingBoxAsync())!;
        string type = "touchStart";
        foreach (float[] fingers in places.Append([]))
        {
            await touch.SendAsync(
                "Input.dispatchTouchEvent",
                new()
                {
                    ["type"] = fingers.Length == 0 ? "touchEnd" : type,
                    ["touchPoints"] = fingers
                        .Select(
                            (f, i) =>
                                new Dictionary<string, object>
                                {
                                    ["x"] = box.X + f * box.Width,
                                    ["y"] = box.Y + box.Height / 2,
                                    ["id"] = i,
                                }
                        )
                        .ToArray(),
                }
            );
            type = "touchMove";
        }
    }

    private static async Task<string> ZoomAsync(IPage page) => await page.Locator(".timeview .plots").GetAttributeAsync("data-zoom") ?? "";

    private static async Task<string> ZoomOtherThanAsync(IPage page, string before)
    {
        await Assertions
            .Expect(page.Locator(".timeview .plots"))
            .ToHaveAttributeAsync("data-zoom", new Regex($@"^(?!{Regex.Escape(before)}$)\d"));
        return await ZoomAsync(page);
    }

    private static double[] Ends(string zoom) => [.. zoom.Split(' ').Select(z => double.Parse(z, CultureInfo.InvariantCulture))];

    private static async Task DragAsync(IPage page, LocatorBoundingBoxResult box, float from, float to)
    {
        await page.Mouse.MoveAsync(box.X + from * box.Width, box.Y + box.Height / 2);
        await page.Mouse.DownAsync();
        await page.Mouse.MoveAsync(box.X + (from + to) / 2 * box.Width, box.Y + box.Height / 2);
        await page.Mouse.MoveAsync(box.X + to * box.Width, box.Y + box.Height / 2);
        await page.Mouse.UpAsync();
    }
}
