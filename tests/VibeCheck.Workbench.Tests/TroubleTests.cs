using System.Diagnostics;
using System.Globalization;
using Microsoft.Playwright;

namespace VibeCheck.Workbench.Tests;

/// <summary>What goes wrong around the workbench is said in place, and nothing entered is lost.</summary>
[Trait("Category", "Slow")]
public sealed class TroubleTests(DeskBrowser browser)
{
    [Fact]
    public async Task A_server_that_is_started_again_while_a_page_is_open_leaves_what_was_typed_and_the_page_says_what_to_do()
    {
        using ScratchFolder folder = ScratchFolder.OfSurvey();
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job?motor=M2#survey");
        ILocator field = at.Page.Locator("#survey .place input").First;
        await field.FillAsync("0,7");
        desk.Kill();
        await at.Page.GetByText("The workbench does not answer; trying again.").WaitForAsync();
        using DeskProcess next = DeskProcess.Start(folder.Path, "--port", desk.Origin.Port.ToString(CultureInfo.InvariantCulture));
        await at.Page.GetByText("The workbench has been stopped.").WaitForAsync();
        Assert.Equal("0,7", await field.InputValueAsync());
        Assert.Contains("open the new address", await at.Page.InnerTextAsync("#components-reconnect-modal"), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_connection_that_comes_back_goes_on_with_what_was_typed()
    {
        await using EmptySurvey survey = await EmptySurvey.OpenAsync(browser);
        await survey.Row.Locator("input").FillAsync("0,7");

        survey.Suspend();
        await survey.ShowsNoAnswerAsync();
        await survey.ResumeAsync();
        await survey.Row.Locator("button.low", new() { HasText = "right low" }).ClickAsync();
        await survey.Row.Locator(".chip").WaitForAsync();
        Assert.Contains(
            "0.7",
            await File.ReadAllTextAsync(survey.Folder.In("survey.csv"), TestContext.Current.CancellationToken),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public async Task While_the_connection_is_down_taps_are_refused_in_words_and_what_stands_in_a_field_comes_over_after()
    {
        await using EmptySurvey survey = await EmptySurvey.OpenAsync(browser);
        ILocator tap = survey.Row.Locator("button.low", new() { HasText = "right low" });

        // Typed and tapped when the workbench stands still and nobody knows of it yet.
        survey.Suspend();
        await survey.Row.Locator("input").FillAsync("0,7");
        await survey.ShowsNoAnswerAsync();
        await tap.ClickAsync();
        await survey.ResumeAsync();
        Assert.Equal(0, await survey.Row.Locator(".chip").CountAsync());
        Assert.False(File.Exists(survey.Folder.In("survey.csv")));
        await tap.ClickAsync();
        await survey.Row.Locator(".chip", new() { HasText = "0.7" }).WaitForAsync();
        Assert.Equal(1, await survey.Row.Locator(".chip").CountAsync());
    }

    [Fact]
    public async Task A_tap_that_the_connection_broke_on_is_named_when_it_is_back()
    {
        await using EmptySurvey survey = await EmptySurvey.OpenAsync(browser);
        await survey.Row.Locator("input").FillAsync("0,7");
        survey.Suspend();
        await survey.Row.Locator("button.low", new() { HasText = "right low" }).ClickAsync();
        await survey.ShowsNoAnswerAsync();
        survey.Continue();
        await survey.Page.Locator("body[data-live]").WaitForAsync(new() { State = WaitForSelectorState.Attached });
        ILocator named = survey.Page.GetByText("The connection broke just after you tapped: Frame, across the arm: right low.");
        if (!await named.IsVisibleAsync())
        {
            // The workbench read the tap as it went on, and its answer came through the new connection: nothing is unsure then.
            await survey.Row.Locator(".chip", new() { HasText = "0.7" }).WaitForAsync();
            Assert.Equal(1, await survey.Row.Locator(".chip").CountAsync());
            return;
        }

        await survey.Page.GetByRole(AriaRole.Button, new() { Name = "Understood" }).ClickAsync();
        await survey.Page.Locator("#unsure").WaitForAsync(new() { State = WaitForSelectorState.Hidden });

        // Taken or not, it is taken once at most.
        Assert.InRange(await survey.Row.Locator(".chip").CountAsync(), 0, 1);
    }

    [Fact]
    public async Task A_request_for_a_new_connection_that_gets_no_answer_is_given_up_soon()
    {
        await using EmptySurvey survey = await EmptySurvey.OpenAsync(browser);
        await survey.Row.Locator("input").FillAsync("0,7");
        survey.Suspend();
        await survey.ShowsNoAnswerAsync();

        // Two requests that nobody ever answers, as over a connection that is dead without having been closed.
        const int Unanswered = 2;
        int asked = 0;
        await survey.Page.RouteAsync("**/_blazor/negotiate**", route => ++asked > Unanswered ? route.ContinueAsync() : Task.CompletedTask);
        survey.Continue();
        await survey.Page.Locator("body[data-live]").WaitForAsync(new() { State = WaitForSelectorState.Attached });
        Assert.Equal("0,7", await survey.Row.Locator("input").InputValueAsync());
        await survey.Row.Locator("button.low", new() { HasText = "right low" }).ClickAsync();
        await survey.Row.Locator(".chip", new() { HasText = "0.7" }).WaitForAsync();
    }

    [Fact]
    public async Task A_page_whose_attempts_have_ended_is_brought_back()
    {
        await using EmptySurvey survey = await EmptySurvey.OpenAsync(browser);
        await survey.Row.Locator("input").FillAsync("0,7");
        // The page may be back before a wait from out here begins, so it says itself that it was not live: observers run before timers.
        bool wasLive = await survey.Page.EvaluateAsync<bool>(
            "async () => { document.getElementById('components-reconnect-modal').classList.add('components-reconnect-rejected');"
                + " await new Promise(next => setTimeout(next)); return document.body.hasAttribute('data-live'); }"
        );
        Assert.False(wasLive);
        await survey.Page.Locator("body[data-live]").WaitForAsync(new() { State = WaitForSelectorState.Attached });
        await survey.Row.Locator("button.low", new() { HasText = "right low" }).ClickAsync();
        await survey.Row.Locator(".chip", new() { HasText = "0.7" }).WaitForAsync();
    }

    [Fact]
    public async Task A_wrong_file_is_left_out_and_a_column_of_no_motor_is_given_one()
    {
        using ScratchFolder folder = ScratchFolder.OfSurvey();
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job");
        await at
            .Page.Locator("input[data-logs]")
            .SetInputFilesAsync([
                new FilePayload
                {
                    Name = "prices.csv",
                    MimeType = "text/csv",
                    Buffer = "place,price\nA,3\n"u8.ToArray(),
                },
                new FilePayload
                {
                    Name = "hover-esc.csv",
                    MimeType = "text/csv",
                    Buffer = "time_s,M1_rpm,spare\n0,3000,20\n0.1,3001,21\n0.2,3000,22\n"u8.ToArray(),
                },
            ]);

        ILocator wrong = at.Page.Locator(".log", new() { HasText = "prices.csv" });
        await wrong.GetByText("no column is named as time").WaitForAsync();
        Assert.DoesNotContain(folder.Path, await wrong.InnerTextAsync(), StringComparison.Ordinal);
        await wrong.GetByRole(AriaRole.Button, new() { Name = "Leave logs/prices.csv out" }).ClickAsync();
        await wrong.WaitForAsync(new() { State = WaitForSelectorState.Detached });
        Assert.True(File.Exists(folder.In("left-out/prices.csv")));

        ILocator log = at.Page.Locator(".log", new() { HasText = "hover-esc.csv" });
        await log.GetByText("How it was understood: 2 of 3 columns used").ClickAsync();
        await log.GetByLabel("What spare is").SelectOptionAsync("motor_temp");
        await log.GetByText("Of which motor?").WaitForAsync();
        await log.GetByLabel("Motor of spare").SelectOptionAsync("M2");
        await log.GetByText("How it was understood: 3 of 3 columns used").WaitForAsync();
        Assert.True(await log.GetByLabel("Motor of spare").IsVisibleAsync());
    }

    [Fact]
    public async Task A_log_whose_columns_share_a_name_or_have_none_does_not_end_the_page()
    {
        using ScratchFolder folder = ScratchFolder.OfSurvey();
        await File.WriteAllTextAsync(
            folder.In("odd-esc.csv"),
            "time_s,M1_rpm,spare,spare,,\n0,3000,20,1,,\n0.1,3001,21,2,,\n0.2,3000,22,3,,\n",
            TestContext.Current.CancellationToken
        );
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job");
        ILocator log = at.Page.Locator(".log", new() { HasText = "odd-esc.csv" });
        await log.GetByText("How it was understood").ClickAsync();
        Assert.Equal(6, await log.Locator("tbody tr").CountAsync());
        await log.GetByLabel("What spare is").First.SelectOptionAsync("motor_temp");
        await log.GetByText("Of which motor?").First.WaitForAsync();
        at.AssertQuiet(desk);
    }

    [Fact]
    public async Task Twelve_coaxial_arms_are_drawn_saved_and_read()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        IPage page = at.Page;
        for (int arm = 4; arm < 12; arm++)
        {
            await page.GetByRole(AriaRole.Button, new() { Name = "One arm more" }).ClickAsync();
            await page.GetByText($"{arm + 1} arms").WaitForAsync();
        }

        await page.GetByLabel("Coaxial").CheckAsync();
        await page.Locator("svg.plan g[role=button]").Nth(23).WaitForAsync();
        await Journey.FillAsync(page, "Thicknesses, mm", "0,004 in; 0,008 in");
        await page.GetByLabel("inch", new() { Exact = true }).CheckAsync();
        ILocator kit = page.GetByLabel("Thicknesses, inch", new() { Exact = true });
        await Assertions.Expect(kit).ToHaveValueAsync("0.004 0.008");
        await kit.FillAsync("0.004 0,008 in 0,012 in");
        await kit.BlurAsync();
        await Journey.FillAsync(page, "Pattern and distances, inch", "cross 1");
        await page.GetByLabel("mm", new() { Exact = true }).CheckAsync();
        await Assertions.Expect(page.GetByLabel("Pattern and distances, mm", new() { Exact = true })).ToHaveValueAsync("cross 25.4");
        await page.GetByRole(AriaRole.Button, new() { Name = "Save the aircraft" }).ClickAsync();
        await page.GetByText("Saved in airframe.toml").WaitForAsync();
        VibeCheck.Core.Airframes.Airframe airframe = VibeCheck.Logs.Airframes.AirframeFile.Read(folder.In("airframe.toml"));
        Assert.Equal(24, airframe.Motors.Count);
        Assert.Equal([0.1016, 0.2032, 0.3048], airframe.ShimKit!.ThicknessesMm);
        await at.GoAsync(desk, $"job?motor={airframe.Motors[23].Id}#survey");
        ILocator row = page.Locator("#survey .place").First;
        await row.Locator("input").FillAsync("0,1");
        await row.Locator("button.low", new() { HasText = "right low" }).ClickAsync();
        await row.Locator(".chip").WaitForAsync();
        at.AssertQuiet(desk);
    }

    [Fact]
    public async Task An_aircraft_changed_in_another_page_is_not_replaced_without_a_word()
    {
        using ScratchFolder folder = ScratchFolder.OfSurvey();
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage one = await browser.OpenAsync(desk);
        await using DeskPage two = await browser.OpenAsync(desk);
        await one.GoAsync(desk, "aircraft");
        await two.GoAsync(desk, "aircraft");
        await Journey.FillAsync(one.Page, "Take-off mass, kg", "7.25");
        await one.Page.GetByRole(AriaRole.Button, new() { Name = "Save the aircraft" }).ClickAsync();
        await one.Page.GetByText("Saved in airframe.toml").WaitForAsync();
        await Journey.FillAsync(two.Page, "Name of the aircraft", "Renamed");
        ILocator save = two.Page.GetByRole(AriaRole.Button, new() { Name = "Save the aircraft" });
        await save.ClickAsync();
        await two.Page.GetByText("changed in another page or by hand since this page was opened").WaitForAsync();
        Assert.Equal(7.25, VibeCheck.Logs.Airframes.AirframeFile.Read(folder.In("airframe.toml")).MassKg);
        await save.ClickAsync();
        await two.Page.GetByText("Saved in airframe.toml").WaitForAsync();
        Assert.Equal("Renamed", VibeCheck.Logs.Airframes.AirframeFile.Read(folder.In("airframe.toml")).Name);
    }

    [Fact]
    public async Task Files_changed_by_hand_are_shown_when_the_page_is_loaded_again()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "job");
        string job = await File.ReadAllTextAsync(folder.In("job.toml"), TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(
            folder.In("job.toml"),
            job.Replace("Re-shim after arm swap", "By hand", StringComparison.Ordinal),
            TestContext.Current.CancellationToken
        );
        await at.GoAsync(desk, "job");
        await at.Page.GetByRole(AriaRole.Heading, new() { Name = "By hand" }).WaitForAsync();

        // A typing error is said on the answer's page too, with its line.
        await File.WriteAllTextAsync(folder.In("job.toml"), "title = \"By hand\nairframe = 3\n", TestContext.Current.CancellationToken);
        await at.GoAsync(desk, "answer");
        await at.Page.GetByText("job.toml: line 1").WaitForAsync();
    }

    [Fact]
    public async Task A_low_side_without_an_angle_is_answered_at_its_field()
    {
        await using EmptySurvey survey = await EmptySurvey.OpenAsync(browser);
        await survey.Row.Locator("button.low", new() { HasText = "right low" }).ClickAsync();
        await survey.Row.GetByText("Type the angle that the gauge shows first, then tap the low side.").WaitForAsync();
        Assert.False(File.Exists(survey.Folder.In("survey.csv")));
    }

    [Fact]
    public async Task A_page_that_cannot_write_says_so_in_place_and_keeps_what_was_typed()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "the limit is set by a shell");
        using ScratchFolder folder = ScratchFolder.OfSurvey();

        // No file may grow beyond 1 kB, and writing beyond fails instead of ending the program: to it, a disk without room. (The runtime
        // keeps machine code in a file of memory, unless it is told to do without.)
        using DeskProcess desk = DeskProcess.StartBy(
            "bash",
            ["-c", "trap '' XFSZ; ulimit -f 1; export DOTNET_EnableWriteXorExecute=0; exec \"$0\" \"$@\""],
            folder.Path
        );
        await using DeskPage at = await browser.OpenAsync(desk);
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
        await at.Page.GetByText("Nothing of it is left; make room or free the file, and drop it again.").WaitForAsync();
        Assert.Empty(Directory.EnumerateFiles(Path.Combine(folder.Path, "logs"), "*", SearchOption.AllDirectories));
    }

    /// <summary>The survey step of a job without readings or flights, open at motor M2.</summary>
    private sealed class EmptySurvey(ScratchFolder folder, DeskProcess desk, DeskPage at) : IAsyncDisposable
    {
        internal ScratchFolder Folder => folder;

        internal IPage Page => at.Page;

        /// <summary>Row of the first place: its field, its targets and its readings.</summary>
        internal ILocator Row => Page.Locator("#survey .place").First;

        internal static async Task<EmptySurvey> OpenAsync(DeskBrowser browser)
        {
            ScratchFolder folder = ScratchFolder.Empty();
            File.Copy(Repository.Sample("reshim-hexa", "airframe.toml"), folder.In("airframe.toml"));
            DeskProcess desk = DeskProcess.Start(folder.Path);
            DeskPage at = await browser.OpenAsync(desk);
            await at.GoAsync(desk, "job?motor=M2#survey");
            return new(folder, desk, at);
        }

        /// <summary>Stops the workbench in its tracks, as on a machine that sleeps.</summary>
        internal void Suspend() => Signal("-STOP");

        internal void Continue() => Signal("-CONT");

        internal Task ShowsNoAnswerAsync() => Page.GetByText("The workbench does not answer; trying again.").WaitForAsync();

        /// <summary>Lets the workbench go on and waits until the page is connected again.</summary>
        internal Task ResumeAsync()
        {
            Continue();
            return Page.Locator("#components-reconnect-modal").WaitForAsync(new() { State = WaitForSelectorState.Hidden });
        }

        public async ValueTask DisposeAsync()
        {
            await at.DisposeAsync();
            desk.Dispose();
            folder.Dispose();
        }

        private void Signal(string signal)
        {
            using Process kill = Process.Start("kill", [signal, desk.Id.ToString(CultureInfo.InvariantCulture)]);
            kill.WaitForExit();
        }
    }
}
