using Microsoft.Playwright;

namespace VibeCheck.Workbench.Tests;

/// <summary>All jobs of an aircraft on one time line.</summary>
[Trait("Category", "Slow")]
public sealed class HistoryTests(DeskBrowser browser)
{
    [Fact]
    public async Task Jobs_beside_and_within_the_folder_are_on_one_time_line_and_others_are_not()
    {
        using ScratchFolder root = ScratchFolder.Empty();
        Copy("reshim-hexa", Path.Combine(root.Path, "spring"));
        Copy("reshim-hexa", Path.Combine(root.Path, "autumn"));
        Copy("reshim-hexa", Path.Combine(root.Path, "autumn", "archive"));
        Copy("null-hexa", Path.Combine(root.Path, "other"));
        string other = Path.Combine(root.Path, "other", "airframe.toml");
        await File.WriteAllTextAsync(
            other,
            "name = \"Another one\"\n"
                + string.Join(
                    '\n',
                    (await File.ReadAllLinesAsync(other, TestContext.Current.CancellationToken)).Where(l =>
                        !l.StartsWith("name", StringComparison.Ordinal)
                    )
                ),
            TestContext.Current.CancellationToken
        );
        string job = Path.Combine(root.Path, "spring", "job.toml");
        await File.WriteAllTextAsync(
            job,
            (await File.ReadAllTextAsync(job, TestContext.Current.CancellationToken)).Replace(
                "title = \"",
                "title = \"Spring: ",
                StringComparison.Ordinal
            ),
            TestContext.Current.CancellationToken
        );
        string life = Path.Combine(root.Path, "winter");
        Copy("reshim-hexa", life);
        await File.WriteAllTextAsync(Path.Combine(life, "job.toml"), StagedJob, TestContext.Current.CancellationToken);
        string written = string.Join(
            '\n',
            Directory.EnumerateFiles(Path.Combine(root.Path, "spring"), "*", SearchOption.AllDirectories).Order()
        );
        using DeskProcess desk = DeskProcess.Start(Path.Combine(root.Path, "autumn"));
        await using DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job");
        await at.Page.Locator("#outcome .verdict").WaitForAsync();
        Assert.Equal(0, await at.Page.Locator(".loose").CountAsync());
        await at.GoAsync(desk, "history");
        await at.Page.GetByText("Spring: ").First.WaitForAsync();
        await at.Page.Locator("main [role=status]").WaitForAsync(new() { State = WaitForSelectorState.Detached });
        Assert.Equal(4, await at.Page.Locator("main table").First.Locator("tbody tr").CountAsync());
        ILocator staged = at.Page.Locator("main tbody tr", new() { HasText = "Two stages" });
        Assert.Contains("2025-02-03", await staged.InnerTextAsync(), StringComparison.Ordinal);
        Assert.Contains("improved", await staged.InnerTextAsync(), StringComparison.OrdinalIgnoreCase);
        Assert.Contains("2025-01-02", await at.Page.InnerTextAsync("main"), StringComparison.Ordinal);
        Assert.DoesNotContain("Another one", await at.Page.InnerTextAsync("main"), StringComparison.Ordinal);
        Assert.Equal(6, await at.Page.Locator("main section h3").CountAsync());
        Assert.Contains("M1 right 0.2", await at.Page.InnerTextAsync(".shimgrid"), StringComparison.Ordinal);
        Assert.Contains("The newest flight on a scale", await at.Page.InnerTextAsync("main"), StringComparison.Ordinal);
        Assert.Contains("by common practice", await at.Page.InnerTextAsync("main"), StringComparison.Ordinal);
        await AssertFitsAsync(at.Page, 1200, ColorScheme.Light);
        await AssertFitsAsync(at.Page, 360, ColorScheme.Dark);
        Assert.Equal(
            written,
            string.Join('\n', Directory.EnumerateFiles(Path.Combine(root.Path, "spring"), "*", SearchOption.AllDirectories).Order())
        );
        at.AssertQuiet(desk);
    }

    /// <summary>Asserts that the page is no wider than its window. Where a folder for pictures is set, saves a picture for people to look
    /// at.</summary>
    private static async Task AssertFitsAsync(IPage page, int width, ColorScheme scheme)
    {
        await page.SetViewportSizeAsync(width, 900);
        await page.EmulateMediaAsync(new() { ColorScheme = scheme });
        if (Environment.GetEnvironmentVariable("VIBECHECK_PICTURES") is string pictures)
        {
            await page.ScreenshotAsync(new() { Path = Path.Combine(pictures, $"history-{width}-{scheme}.png"), FullPage = true });
        }

        int overflow = await page.EvaluateAsync<int>("() => document.documentElement.scrollWidth - document.documentElement.clientWidth");
        Assert.True(overflow <= 0, $"{overflow} px too wide at {width} px");
    }

    private const string StagedJob = """
        title = "Two stages"
        airframe = "airframe.toml"
        [[stage]]
        name = "as built"
        date = "2025-01-02"
        [[stage.flight]]
        imu = "before-1/imu.csv"
        esc = "before-1/esc.csv"
        ambient_c = 21
        [[stage]]
        name = "shims"
        date = "2025-02-03"
        [[stage.flight]]
        imu = "after-1/imu.csv"
        esc = "after-1/esc.csv"
        ambient_c = 24
        """;

    private static void Copy(string sample, string to)
    {
        using ScratchFolder from = ScratchFolder.Of(sample);
        foreach (string file in Directory.EnumerateFiles(from.Path, "*", SearchOption.AllDirectories))
        {
            string target = Path.Combine(to, Path.GetRelativePath(from.Path, file));
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            File.Copy(file, target);
        }
    }
}
