using Microsoft.Playwright;

namespace VibeCheck.Workbench.Tests;

/// <summary>A page that the browser shows before it is connected to the workbench: what is done on it then is not lost.</summary>
[Trait("Category", "Slow")]
public sealed class FirstTapsTests(DeskBrowser browser)
{
    [Fact]
    public async Task Arms_tapped_before_the_page_is_connected_are_added_once_each()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        await at.GoAsync(desk, "aircraft");
        int arms = await at.Page.Locator("main svg [role=button]").CountAsync();
        TaskCompletionSource connects = await OpenUnconnectedAsync(at, desk, "aircraft");

        ILocator more = at.Page.GetByRole(AriaRole.Button, new() { Name = "One arm more" });
        await more.ClickAsync();

        // Nothing has happened yet, so people tap again.
        await more.ClickAsync();
        await at.Page.GetByText("What you tap and type is carried out as soon as this line is gone.").WaitForAsync();
        Assert.Equal(arms, await at.Page.Locator("main svg [role=button]").CountAsync());
        connects.SetResult();
        await at.LiveAsync();
        await Assertions.Expect(at.Page.Locator("main svg [role=button]")).ToHaveCountAsync(arms + 1);
        Assert.True(await at.Page.Locator("#unsure").IsHiddenAsync());
        await more.ClickAsync();
        await Assertions.Expect(at.Page.Locator("main svg [role=button]")).ToHaveCountAsync(arms + 2);
    }

    [Fact]
    public async Task A_reading_typed_and_tapped_before_the_page_is_connected_is_in_the_survey_once()
    {
        using ScratchFolder folder = ScratchFolder.OfSurvey();
        File.Delete(folder.In("survey.csv"));
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        TaskCompletionSource connects = await OpenUnconnectedAsync(at, desk, "job?motor=M2#survey");

        ILocator row = at.Page.Locator("#survey .place").First;
        await row.Locator("input").ClickAsync();
        await at.Page.Keyboard.TypeAsync("0,7");
        await row.Locator("button.low", new() { HasText = "right low" }).ClickAsync();
        connects.SetResult();
        await row.Locator(".chip", new() { HasText = "0.7" }).WaitForAsync();
        await at.LiveAsync();
        Assert.Equal(1, await row.Locator(".chip").CountAsync());
        string survey = await File.ReadAllTextAsync(folder.In("survey.csv"), TestContext.Current.CancellationToken);
        Assert.Single(survey.Split('\n'), line => line.Contains("0.7", StringComparison.Ordinal));
        Assert.True(await at.Page.Locator("#unsure").IsHiddenAsync());
    }

    [Fact]
    public async Task What_is_typed_while_the_page_connects_stays_in_its_field_and_typing_goes_on_there()
    {
        using ScratchFolder folder = ScratchFolder.OfSurvey();
        File.Delete(folder.In("survey.csv"));
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        TaskCompletionSource connects = await OpenUnconnectedAsync(at, desk, "job?motor=M2#survey");
        ILocator field = at.Page.Locator("#survey .place input").First;
        await field.ClickAsync();
        await at.Page.Keyboard.TypeAsync("0,");
        connects.SetResult();
        await at.LiveAsync();
        await at.Page.Keyboard.TypeAsync("7");
        Assert.Equal("0,7", await field.InputValueAsync());
    }

    [Fact]
    public async Task A_button_that_is_not_there_any_more_when_the_page_connects_is_named()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        TaskCompletionSource connects = await OpenUnconnectedAsync(at, desk, "aircraft");
        ILocator more = at.Page.GetByRole(AriaRole.Button, new() { Name = "One arm more" });
        await more.EvaluateAsync(
            "button => { const other = button.cloneNode(true); other.setAttribute('aria-label', 'One arm of old'); button.after(other); }"
        );
        await at.Page.GetByRole(AriaRole.Button, new() { Name = "One arm of old" }).ClickAsync();
        connects.SetResult();
        await at.LiveAsync();
        await at.Page.GetByText("Not carried out, because the page was not connected yet: One arm of old.").WaitForAsync();
    }

    /// <summary>Opens a page whose connection is made only when the returned source is completed.</summary>
    private static async Task<TaskCompletionSource> OpenUnconnectedAsync(DeskPage at, DeskProcess desk, string place)
    {
        TaskCompletionSource connects = new(TaskCreationOptions.RunContinuationsAsynchronously);
        await at.Page.RouteAsync(
            "**/_blazor/negotiate**",
            async route =>
            {
                await connects.Task;
                await route.ContinueAsync();
            }
        );
        await at.Page.GotoAsync(new Uri(desk.Origin, place).AbsoluteUri);
        Assert.Equal(0, await at.Page.Locator("body[data-live]").CountAsync());
        return connects;
    }
}
