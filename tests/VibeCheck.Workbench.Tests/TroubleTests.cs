using System.Diagnostics;
using System.Globalization;
using Microsoft.Playwright;

namespace VibeCheck.Workbench.Tests;

/// <summary>What goes wrong around the workbench is said in place, and nothing entered is lost.</summary>
[Trait("Category", "Slow")]
public sealed class TroubleTests(DeskBrowser browser) : IClassFixture<DeskBrowser>
{
    [Fact]
    public async Task A_server_that_is_started_again_while_a_page_is_open_leaves_what_was_typed_and_the_page_says_what_to_do()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job?motor=M2#survey");
        ILocator field = at.Page.Locator("#survey .place input").First;
        await field.FillAsync("0,7");
        desk.Kill();
        await at.Page.GetByText("The workbench does not answer; trying again.").WaitForAsync();
        using DeskProcess next = DeskProcess.Start(folder.Path, "--port", desk.Origin.Port.ToString(CultureInfo.InvariantCulture));
        await at.Page.GetByText("The workbench has been stopped.").WaitForAsync(new() { Timeout = 120_000 });
        Assert.Equal("0,7", await field.InputValueAsync());
        Assert.Contains("open the new address", await at.Page.InnerTextAsync("#components-reconnect-modal"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_connection_that_comes_back_goes_on_with_what_was_typed()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa", "survey.csv");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job?motor=M2#survey");
        ILocator row = at.Page.Locator("#survey .place").First;
        await row.Locator("input").FillAsync("0,7");

        // Stopped in its tracks, as a machine that sleeps; then it goes on.
        Signal("-STOP", desk.Id);
        await at.Page.GetByText("The workbench does not answer; trying again.").WaitForAsync(new() { Timeout = 120_000 });
        Signal("-CONT", desk.Id);
        await at.Page.Locator("#components-reconnect-modal").WaitForAsync(new() { State = WaitForSelectorState.Hidden, Timeout = 120_000 });
        await row.GetByText("right low").ClickAsync();
        await row.Locator(".chip").WaitForAsync();
        Assert.Contains(
            "0.7",
            await File.ReadAllTextAsync(folder.In("survey.csv"), TestContext.Current.CancellationToken),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task While_the_connection_is_down_taps_are_refused_in_words_and_what_stands_in_a_field_comes_over_after()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa", "survey.csv");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job?motor=M2#survey");
        ILocator row = at.Page.Locator("#survey .place").First;
        ILocator tap = row.GetByText("right low");

        // Typed and tapped when the workbench stands still and nobody knows of it yet.
        Signal("-STOP", desk.Id);
        await row.Locator("input").FillAsync("0,7");
        await at.Page.GetByText("The workbench does not answer; trying again.").WaitForAsync(new() { Timeout = 120_000 });
        await tap.ClickAsync();
        Signal("-CONT", desk.Id);
        await at.Page.Locator("#components-reconnect-modal").WaitForAsync(new() { State = WaitForSelectorState.Hidden, Timeout = 120_000 });
        Assert.Equal(0, await row.Locator(".chip").CountAsync());
        Assert.False(File.Exists(folder.In("survey.csv")));
        await tap.ClickAsync();
        await row.Locator(".chip", new() { HasText = "0.7" }).WaitForAsync();
        Assert.Equal(1, await row.Locator(".chip").CountAsync());
    }

    [Fact]
    public async Task A_tap_that_the_connection_broke_on_is_named_when_it_is_back()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa", "survey.csv");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job?motor=M2#survey");
        ILocator row = at.Page.Locator("#survey .place").First;
        await row.Locator("input").FillAsync("0,7");
        Signal("-STOP", desk.Id);
        await row.GetByText("right low").ClickAsync();
        await at.Page.GetByText("The workbench does not answer; trying again.").WaitForAsync(new() { Timeout = 120_000 });
        Signal("-CONT", desk.Id);
        await at
            .Page.GetByText("The connection broke just after you tapped: Frame, across the arm: right low.")
            .WaitForAsync(new() { Timeout = 120_000 });
        await at.Page.GetByRole(AriaRole.Button, new() { Name = "Understood" }).ClickAsync();
        await at.Page.Locator("#unsure").WaitForAsync(new() { State = WaitForSelectorState.Hidden });

        // Taken or not, it is taken once at most.
        Assert.InRange(await row.Locator(".chip").CountAsync(), 0, 1);
    }

    [Fact]
    public async Task A_page_that_cannot_write_says_so_in_place_and_keeps_what_was_typed()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "the limit is set by a shell");
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");

        // No file may grow beyond 1 kB, and writing beyond fails instead of ending the program: to it, a disk without room. (The runtime keeps
        // machine code in a file of memory, unless it is told to do without.)
        using DeskProcess desk = DeskProcess.StartBy(
            "bash",
            ["-c", "trap '' XFSZ; ulimit -f 1; export DOTNET_EnableWriteXorExecute=0; exec \"$0\" \"$@\""],
            folder.Path
        );
        DeskPage at = await browser.OpenAsync(desk);
        string survey = await File.ReadAllTextAsync(folder.In("survey.csv"), TestContext.Current.CancellationToken);
        await at.GoAsync(desk, "job?motor=M2#survey");
        ILocator row = at.Page.Locator("#survey .place").First;
        await row.Locator("input").FillAsync("0,1");
        await row.Locator("button.low", new() { HasText = "left low" }).ClickAsync();
        await at.Page.GetByText("It could not be saved").WaitForAsync();
        Assert.Equal("0,1", await row.Locator("input").InputValueAsync());
        Assert.Equal(survey, await File.ReadAllTextAsync(folder.In("survey.csv"), TestContext.Current.CancellationToken));
        await at
            .Page.Locator("input[data-logs]")
            .SetInputFilesAsync(
                new FilePayload
                {
                    Name = "late.csv",
                    MimeType = "text/csv",
                    Buffer = [.. Enumerable.Repeat((byte)'1', 4096)],
                }
            );
        await at.Page.GetByText("Nothing of it is left; make room and drop it again.").WaitForAsync();
        Assert.Empty(Directory.EnumerateFiles(Path.Combine(folder.Path, "logs"), "*", SearchOption.AllDirectories));
    }

    private static void Signal(string signal, int process)
    {
        using Process kill = Process.Start("kill", [signal, process.ToString(CultureInfo.InvariantCulture)]);
        kill.WaitForExit();
    }
}
