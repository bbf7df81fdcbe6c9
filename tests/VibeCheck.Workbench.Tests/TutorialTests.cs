using System.Text.RegularExpressions;
using Microsoft.Playwright;
using VibeCheck.BenchSheet.Tests.Browser;

namespace VibeCheck.Workbench.Tests;

/// <summary>Follows the first way of docs/tutorial.md in the browser: types its command as printed and does its steps in their
/// order.</summary>
[Trait("Category", "Slow")]
public sealed partial class TutorialTests(DeskBrowser browser)
{
    [Fact]
    public async Task The_way_in_the_browser_leads_from_an_empty_folder_to_the_verdict_with_the_survey_on_the_phone()
    {
        string section = Section(
            await File.ReadAllTextAsync(Path.Combine(Repository.Root, "docs", "tutorial.md"), TestContext.Current.CancellationToken)
        );
        string[] words = Typed().Match(section).Groups[1].Value.Trim().Split(' ');
        string[] steps = [.. Steps().Matches(section).Select(m => m.Groups[1].Value)];
        _ = PublishedSheet.Folder;
        using ScratchFolder scratch = ScratchFolder.Empty();
        using DeskProcess desk = DeskProcess.Started(Command.StartIn(scratch.Path, [.. words[1..], "--no-open"]), scratch.In(words[2]));
        Uri? shared = await desk.SharedAsync();
        await using DeskPage at = await browser.OpenAsync(desk);
        await using Phone phone = await Phone.Start();
        if (shared is null)
        {
            // Without a network the phone is a window on this machine, which enters by the workbench's own address.
            await phone.Page.GotoAsync(desk.Address.AbsoluteUri);
        }

        Uri sheet = shared ?? new Uri(desk.Origin, "bench-sheet/");

        var actions = new Dictionary<string, Func<Task>>
        {
            ["Aircraft."] = async () =>
            {
                await Journey.DrawAircraftAsync(at.Page);
                await at.Page.GetByRole(AriaRole.Link, new() { Name = "Go on to the job" }).ClickAsync();
            },
            ["Job, flights before."] = () => DropAsync(at.Page, "before", "21"),
            ["Survey, on the phone."] = () => SurveyAsync(phone, sheet, "as-found"),
            ["Shims."] = () => FitAsync(phone, at.Page),
            ["Job, flights after."] = () => DropAsync(at.Page, "after", "24"),
            ["Answer."] = async () =>
            {
                await at.Page.GetByRole(AriaRole.Link, new() { Name = "Answer", Exact = true }).ClickAsync();
                await at.Page.Locator(".report h1", new() { HasText = "The shims helped" }).WaitForAsync();
                await at.Page.Locator(".exports [role=status]").WaitForAsync(new() { State = WaitForSelectorState.Detached });
            },
        };
        Assert.Equal(actions.Keys, steps);
        foreach (string step in steps)
        {
            await actions[step]();
        }

        IAPIResponse answer = await at.Page.APIRequest.GetAsync(new Uri(desk.Origin, "export/compare.json").AbsoluteUri);
        using System.Diagnostics.Process compare = Command.StartIn(scratch.Path, "compare", words[2], "--json", "-");
        Assert.Equal(await compare.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken), await answer.TextAsync());
        Assert.Empty(phone.Errors);
        at.AssertQuiet(desk);
    }

    private static async Task DropAsync(IPage page, string side, string ambient)
    {
        await page.Locator("input[data-logs]")
            .SetInputFilesAsync(Journey.Logs.Where(l => l.Name.StartsWith(side, StringComparison.Ordinal)));
        await page.Locator($"#{side} .state", new() { HasText = "1 flight" }).WaitForAsync();
        await Journey.OpenStepAsync(page, side);
        await page.Locator($"#{side} .flight .line", new() { HasText = "esc.csv" }).WaitForAsync();
        ILocator field = page.Locator($"#{side}").GetByLabel("Air temperature, °C");
        await field.FillAsync(ambient);
        await field.BlurAsync();
    }

    /// <summary>Readings of one motor that gets a shim and of one that needs none: the steps are the same for each of the others.</summary>
    private static IEnumerable<string[]> Readings => Journey.Readings.Where(r => r[0] is "M1" or "M2");

    private static async Task SurveyAsync(Phone phone, Uri shared, string when)
    {
        if (when == "as-found")
        {
            await phone.Open(shared);
            await phone.TapBox("Propellers off");
            await phone.TapBox("Battery out");
        }

        foreach (IGrouping<string, string[]> motor in Readings.Where(r => r[1] == when).GroupBy(r => r[0]))
        {
            await phone.Page.GetByRole(AriaRole.Button, new() { NameRegex = new($"^{motor.Key}[ :]") }).First.TapAsync();
            foreach (string[] reading in motor)
            {
                await phone
                    .Page.GetByRole(AriaRole.Navigation)
                    .GetByRole(AriaRole.Button, new() { NameRegex = new($"{reading[2]}\\s*{reading[3]}", RegexOptions.IgnoreCase) })
                    .TapAsync();
                if (reading[5] == "level")
                {
                    await phone.Type(reading[4]);
                    await phone.Tap("level");
                }
                else
                {
                    await phone.Read(reading[4], reading[5]);
                }
            }

            await phone.Tap("Back to the aircraft");
        }

        await phone.Page.GetByText("Saved on this phone and on the computer.").WaitForAsync();
    }

    /// <summary>Puts the shims of the plan under the bolts, then reads the motors again.</summary>
    private static async Task FitAsync(Phone phone, IPage page)
    {
        await page.Locator("#shims .state", new() { HasText = "Shim M" }).WaitForAsync();
        foreach (string motor in Readings.Where(r => r[1] == "as-left").Select(r => r[0]).Distinct())
        {
            await phone.Page.GetByRole(AriaRole.Button, new() { NameRegex = new($"^{motor}[ :]") }).First.TapAsync();
            await phone.Tap("As fitted");
            await phone.TapBox("Shims fitted");
            await phone.TapBox("Torqued");
            await phone.Tap("Back to the aircraft");
        }

        await SurveyAsync(phone, new Uri("http://none/"), "as-left");
        await page.Locator("#left .state", new() { HasText = "motors read" }).WaitForAsync();
    }

    private static string Section(string page)
    {
        int from = page.IndexOf("\n## 2.", StringComparison.Ordinal);
        return page[from..page.IndexOf("\n## 3.", from, StringComparison.Ordinal)];
    }

    [GeneratedRegex("^```sh\n(vibecheck .*?)^```$", RegexOptions.Singleline | RegexOptions.Multiline)]
    private static partial Regex Typed();

    [GeneratedRegex(@"^\d\. \*\*(.*?)\*\*", RegexOptions.Multiline)]
    private static partial Regex Steps();
}
