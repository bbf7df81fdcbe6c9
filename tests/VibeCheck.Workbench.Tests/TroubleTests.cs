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
        await TapUntilAsync(row.GetByText("right low"), row.Locator(".chip"));
        Assert.Contains(
            "0.7",
            await File.ReadAllTextAsync(folder.In("survey.csv"), TestContext.Current.CancellationToken),
            StringComparison.Ordinal
        );
    }

    /// <summary>Taps as a person does who sees nothing happen: a tap in the very moment of reconnecting may come to nothing.</summary>
    private static async Task TapUntilAsync(ILocator button, ILocator shown)
    {
        for (int tap = 0; tap < 5 && await shown.CountAsync() == 0; tap++)
        {
            await button.ClickAsync();
            for (int wait = 0; wait < 100 && await shown.CountAsync() == 0; wait++)
            {
                await Task.Delay(100, TestContext.Current.CancellationToken);
            }
        }

        await Assertions.Expect(shown).Not.ToHaveCountAsync(0);
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
