using System.Text.RegularExpressions;
using Microsoft.Playwright;
using VibeCheck.BenchSheet.Tests.Browser;

namespace VibeCheck.Workbench.Tests;

/// <summary>All steps from an empty folder to the verdict.</summary>
[Trait("Category", "Slow")]
public sealed class JourneyTests(DeskBrowser browser)
{
    [Fact]
    public async Task By_mouse_an_empty_folder_becomes_the_verdict_of_the_sample_and_the_command_says_the_same()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        await Journey.DrawAircraftAsync(at.Page);
        await at.Page.GetByRole(AriaRole.Link, new() { Name = "Go on to the job" }).ClickAsync();
        await Journey.DropLogsAsync(at.Page);
        foreach ((string side, string ambient) in new[] { ("before", "21"), ("after", "24") })
        {
            await Journey.OpenStepAsync(at.Page, side);
            await Journey.FillAsync(at.Page, "Air temperature, °C", ambient);
            await WaitForTextAsync(folder.In("job.toml"), $"ambient_c = {ambient}");
            await at.Page.Locator($"#{side} h2 button").ClickAsync();
        }

        // Motors that the steps on the phone leave out (TutorialTests).
        foreach (string[] reading in Journey.Readings.Where(r => r[0] is "M3" or "M4"))
        {
            await Journey.TakeReadingAsync(at.Page, reading);
        }

        await at.Page.GetByRole(AriaRole.Link, new() { Name = "Answer", Exact = true }).ClickAsync();
        await at.Page.Locator(".report h1", new() { HasText = "The shims helped" }).WaitForAsync();
        await at.Page.Locator(".exports [role=status]").WaitForAsync(new() { State = WaitForSelectorState.Detached });
        IAPIResponse answer = await at.Page.APIRequest.GetAsync(new Uri(desk.Origin, "export/compare.json").AbsoluteUri);
        Assert.Equal(Command.CompareJson(folder.Path), await answer.TextAsync());
        at.AssertQuiet(desk);
    }

    [Fact]
    public async Task By_keyboard_alone_an_empty_folder_becomes_a_verdict()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        using DeskProcess desk = DeskProcess.Start(folder.Path);
        await using DeskPage at = await browser.OpenAsync(desk);
        IPage page = at.Page;
        await TabToAsync(page, "One arm more");
        await page.Keyboard.PressAsync("Enter");
        await page.GetByText("5 arms").WaitForAsync();
        await page.Keyboard.PressAsync("Enter");
        await page.GetByText("6 arms").WaitForAsync();
        await TabToAsync(page, "Pole pairs");
        await page.Keyboard.TypeAsync("14");
        await TabToAsync(page, "Save the aircraft");
        await page.Keyboard.PressAsync("Enter");
        await page.GetByText("Saved in airframe.toml").WaitForAsync();
        await TabToAsync(page, "Go on to the job");
        await page.Keyboard.PressAsync("Enter");
        await page.GetByText("Drop log files or folders here").WaitForAsync();
        await page.WaitForFunctionAsync("() => document.activeElement.tagName === 'H1'");
        await TabToAsync(page, "Choose files");
        IFileChooser chooser = await page.RunAndWaitForFileChooserAsync(() => page.Keyboard.PressAsync("Space"));
        await chooser.SetFilesAsync(Journey.Logs);
        await page.Locator("#after .state", new() { HasText = "1 flight" }).WaitForAsync();
        await page.Locator("#outcome .state", new() { HasTextRegex = new Regex("improved", RegexOptions.IgnoreCase) }).WaitForAsync();
        await TabToAsync(page, "Survey");
        await page.Keyboard.PressAsync("Enter");
        await TabToAsync(page, "Frame, across the arm");
        await page.Keyboard.TypeAsync("0,1 r");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator(".chip", new() { HasText = "0.1° right low" }).WaitForAsync();
        Assert.Contains(
            "M1,as-found,frame,across,0.1,right",
            await File.ReadAllTextAsync(folder.In("survey.csv"), TestContext.Current.CancellationToken),
            StringComparison.Ordinal
        );
        at.AssertQuiet(desk);
    }

    /// <summary>Presses Tab until the element with that name or text has the focus. Between the last element and the first, the page itself
    /// has the focus.</summary>
    private static async Task TabToAsync(IPage page, string name)
    {
        const int Most = 150;
        for (int i = 0; i < Most; i++)
        {
            await page.Keyboard.PressAsync("Tab");
            string focused = await page.EvaluateAsync<string>(
                "() => { const e = document.activeElement; return e.tagName === 'BODY' || e.tagName === 'MAIN' ? '' : "
                    + "e.getAttribute('aria-label') ?? (e.labels?.[0] ?? e).textContent.trim(); }"
            );
            if (focused.Contains(name, StringComparison.Ordinal))
            {
                return;
            }
        }

        Assert.Fail($"the keyboard does not reach '{name}'");
    }

    private static Task WaitForTextAsync(string file, string text) =>
        Patience.UntilAsync(() => File.Exists(file) && File.ReadAllText(file).Contains(text, StringComparison.Ordinal), text);
}
