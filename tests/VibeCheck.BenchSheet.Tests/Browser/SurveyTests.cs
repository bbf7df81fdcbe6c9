using System.Globalization;
using System.Text.Json;
using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Sheets;
using VibeCheck.Logs.Surveys;
using VibeCheck.Reports.Json;

namespace VibeCheck.BenchSheet.Tests.Browser;

/// <summary>The published sheet in a browser that acts as a touch phone with a decimal comma, under the policy that the server
/// sets.</summary>
[Trait("Category", "Slow")]
public sealed class SurveyTests
{
    // 14 mm at 96 px per inch.
    private const double LeastTargetPx = 14 / 25.4 * 96;

    private const string Hanging =
        "name = \"Pair\"\n[bolts]\nacross_mm = 28.6\nalong_mm = 28.6\n"
        + "[[motor]]\nid = \"M1\"\nazimuth_deg = 90\narm_m = 0.4\nspin = \"cw\"\nlevel = \"upper\"\n[[motor]]\nid = "
        + "\"M2\"\nazimuth_deg = 90\narm_m = 0.4\nspin = \"ccw\"\nlevel = \"lower\"\n"
        + "[[motor]]\nid = \"M3\"\nazimuth_deg = 270\narm_m = 0.4\nspin = \"cw\"\nlevel = \"upper\"\n[[motor]]\nid = "
        + "\"M4\"\nazimuth_deg = 270\narm_m = 0.4\nspin = \"ccw\"\nlevel = \"lower\"\n";

    private static string Sample => Path.Combine(Repository.Root, "sample-logs", "reshim-hexa", "airframe.toml");

    private static SheetJob Job(string? toml = null) =>
        new()
        {
            Job = "job-1",
            Title = "Re-shim",
            AirframeToml = toml ?? File.ReadAllText(Sample),
            Token = "t",
        };

    private static async Task SurveyM1(Phone phone)
    {
        await phone.Tap("Start with M1");
        await phone.Read("0,1", "right");
        await phone.Read("0,5", "right");
        await phone.Read("0.2", "out");
        await phone.Read("0.2", "out");
    }

    private static JsonElement FirstMotor(string survey, Airframe airframe)
    {
        string path = Path.GetTempFileName();
        File.WriteAllText(path, survey);
        using var stream = new MemoryStream();
        ShimJson.Write(ShimPlan.Of(airframe, SurveyFile.Read(path, airframe)), [], stream);
        File.Delete(path);
        return JsonDocument.Parse(stream.ToArray()).RootElement.GetProperty("motors")[0].Clone();
    }

    [Fact]
    public async Task A_motor_surveyed_by_touch_gives_the_shim_of_the_command()
    {
        await using SheetServer server = await SheetServer.Start(Job());
        await using Phone phone = await Phone.Start();
        await phone.Open(server.Address);
        await phone.TapBox("Propellers off");
        await phone.TapBox("Battery out");
        await SurveyM1(phone);
        string said = await phone.Page.Locator(".result").InnerTextAsync();
        string drawn = (await phone.Page.Locator("svg.motor").GetAttributeAsync("aria-label"))!;

        await phone.Tap("Back to the aircraft");
        IDownload download = await phone.Page.RunAndWaitForDownloadAsync(() => phone.Tap("Export survey.csv (4 readings)"));
        Assert.Equal("survey.csv", download.SuggestedFilename);
        string survey = await File.ReadAllTextAsync(await download.PathAsync(), TestContext.Current.CancellationToken);
        JsonElement motor = FirstMotor(survey, AirframeFile.Read(Sample));
        string amount = string.Create(
            CultureInfo.InvariantCulture,
            $"{motor.GetProperty("tilt_across_deg").GetDouble():0.00}° ± {motor.GetProperty("u95_deg").GetDouble():0.00}°"
        );
        Assert.Contains($"Across {amount} right low", said, StringComparison.Ordinal);
        Assert.Contains(
            string.Create(
                CultureInfo.InvariantCulture,
                $"Shim {motor.GetProperty("thickness_mm").GetDouble()} mm on the {motor.GetProperty("side").GetString()}"
            ),
            said,
            StringComparison.Ordinal
        );
        IEnumerable<string> bolts = motor
            .GetProperty("bolts")
            .EnumerateArray()
            .Where(b => b.GetProperty("stack_mm").GetArrayLength() > 0)
            .Select(b =>
                $"{b.GetProperty("place").GetString()} "
                + $"{string.Join(" + ", b.GetProperty("stack_mm").EnumerateArray().Select(t => t.GetRawText() + " mm"))}"
            );
        Assert.Equal("Mount of M1 from above, hub at the bottom: " + string.Join(", ", bolts), drawn);
        await Patience.UntilAsync(() => server.Kept.OfType<ReadingEntry>().Count() == 4, "all readings on the server");
        Assert.Empty(phone.Errors);
    }

    [Fact]
    public async Task A_reload_during_the_survey_keeps_everything()
    {
        await using SheetServer server = await SheetServer.Start(null);
        await using Phone phone = await Phone.Start();
        await phone.Open(server.Address);
        await phone.Page.Locator("#airframe").SetInputFilesAsync(Sample);
        await phone.TapBox("Propellers off");
        await SurveyM1(phone);
        await phone.Type("0,3");
        string before = await phone.Page.InnerTextAsync("main");
        await phone.Page.ReloadAsync();
        await phone.Ready();
        Assert.Equal(before, await phone.Page.InnerTextAsync("main"));
        await phone.Tap("Back to the aircraft");
        Assert.Equal(
            "true",
            await phone.Page.GetByRole(AriaRole.Checkbox, new() { Name = "Propellers off" }).GetAttributeAsync("aria-checked")
        );
        Assert.Equal(0, server.Posts);
        Assert.Empty(phone.Errors);
    }

    [Fact]
    public async Task Without_a_network_a_reload_opens_the_sheet_and_the_survey_goes_on()
    {
        await using SheetServer server = await SheetServer.Start(Job());
        await using Phone phone = await Phone.Start();
        await phone.Open(server.Address);
        await phone.Page.WaitForSelectorAsync("body[data-offline=ready]", new() { State = WaitForSelectorState.Attached });
        await SurveyM1(phone);
        await Patience.UntilAsync(() => server.Kept.Count == 4, "all readings on the server");
        await phone.Context.SetOfflineAsync(true);
        await phone.Page.ReloadAsync();
        await phone.Ready();
        await phone.Tap("Next: M2");
        await phone.Read("0,2", "left");
        await Assertions.Expect(phone.Page.Locator("main").First).ToContainTextAsync("F 0.2° left");
        Assert.Equal(4, server.Kept.Count);
        await phone.Context.SetOfflineAsync(false);
        await Patience.UntilAsync(() => server.Kept.Count == 5, "the reading taken without a network");
        Assert.Empty(phone.Errors);
    }

    [Fact]
    public async Task A_connection_cut_while_sending_neither_loses_nor_repeats_a_reading()
    {
        await using SheetServer server = await SheetServer.Start(Job());
        await using Phone phone = await Phone.Start();
        await phone.Open(server.Address);
        server.RequestsToRefuse = 1;
        server.AnswersToLose = 2;
        await SurveyM1(phone);
        await Patience.UntilAsync(() => server.Kept.Count == 4 && server.AnswersToLose == 0, "all readings on the server");
        await phone.Tap("Back to the aircraft");
        await phone.Page.GetByText("Saved on this phone and on the computer.").WaitForAsync();
        Assert.Equal([0.1, 0.5, 0.2, 0.2], server.Kept.OfType<ReadingEntry>().OrderBy(r => r.At).Select(r => r.LowDeg));
        Assert.Equal(4, server.Kept.Select(e => e.Id).Distinct().Count());
        Assert.Empty(phone.Errors);
    }

    [Fact]
    public async Task A_hanging_motor_is_drawn_from_below_with_its_sides_swapped()
    {
        await using SheetServer server = await SheetServer.Start(Job(Hanging));
        await using Phone phone = await Phone.Start();
        await phone.Open(server.Address);
        await phone.Tap("M2: 0 of 4 places read, hangs");
        await Assertions.Expect(phone.Page.Locator("h1").First).ToContainTextAsync("seen from below");
        float right = (await phone.Page.Locator(".bench .side.right").BoundingBoxAsync())!.X,
            left = (await phone.Page.Locator(".bench .side.left").BoundingBoxAsync())!.X;
        Assert.True(right < left, $"right at {right} px, left at {left} px");

        // 0.4° right low on a hanging mount: shims go to the left, as the contract specifies for a lower motor.
        await phone.Read("0.1", "right");
        await phone.Read("0.5", "right");
        await Assertions.Expect(phone.Page.Locator(".result")).ToContainTextAsync("on the left");
    }

    [Fact]
    public async Task Every_screen_is_accessible_in_light_and_dark_wide_enough_and_has_targets_for_gloves()
    {
        await using SheetServer server = await SheetServer.Start(Job());
        await using Phone phone = await Phone.Start();
        await phone.Open(server.Address);
        await Check(phone, "aircraft");
        await SurveyM1(phone);
        await Check(phone, "motor");
        await phone.Tap("As fitted");
        await Check(phone, "fitting");
        await phone.Tap("As found");
        await phone.Tap("Settings and files");
        await Check(phone, "settings");
        await phone.TapBox("Bull's-eye level: angle and hour of the bubble");
        await phone.Tap("Back");
        await Check(phone, "bull's-eye");
        Assert.Empty(phone.Errors);
    }

    private static async Task Check(Phone phone, string screen)
    {
        await CheckColours(phone, screen, ColorScheme.Dark, "rgb(20, 24, 29)", "color-contrast");
        await CheckColours(phone, screen, ColorScheme.Light, "rgb(255, 255, 255)");
        foreach (
            ILocator target in await phone
                .Page.Locator("button:visible, [role=button]:visible, label.key:visible, input[type=text]:visible")
                .AllAsync()
        )
        {
            LocatorBoundingBoxResult box = (await target.BoundingBoxAsync())!;
            Assert.True(
                Math.Min(box.Width, box.Height) >= LeastTargetPx,
                $"{screen}: {await target.TextContentAsync()} is {box.Width} by {box.Height} px, less than 14 mm"
            );
        }

        Assert.True(
            await phone.Page.EvaluateAsync<int>("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0,
            screen + " is wider than the phone"
        );
    }

    /// <summary>Checks that no rule of axe is violated in a colour scheme: all of its rules, or those named.</summary>
    private static async Task CheckColours(Phone phone, string screen, ColorScheme scheme, string paper, params List<string> rules)
    {
        await phone.Page.EmulateMediaAsync(new() { ColorScheme = scheme });
        Assert.Equal(paper, await phone.Page.EvaluateAsync<string>("getComputedStyle(document.body).backgroundColor"));
        AxeRunOptions options = new() { ResultTypes = [ResultType.Violations] };
        if (rules.Count > 0)
        {
            options.RunOnly = new() { Type = "rule", Values = rules };
        }

        AxeResult axe = await phone.Page.RunAxe(options);
        Assert.True(
            axe.Violations.All(v => v.Impact is not ("serious" or "critical")),
            $"{screen}, {scheme}: "
                + string.Join("; ", axe.Violations.Select(v => $"{v.Id} ({v.Impact}) {string.Join(", ", v.Nodes.Select(n => n.Html))}"))
        );
    }

    [Fact]
    public async Task Shims_are_fitted_noted_and_read_as_left_on_the_phone()
    {
        await using SheetServer server = await SheetServer.Start(Job());
        await using Phone phone = await Phone.Start();
        await phone.Open(server.Address);
        await SurveyM1(phone);
        await phone.Tap("As fitted");
        await Assertions.Expect(phone.Page.Locator("main").First).ToContainTextAsync("As planned");
        await phone.Tap("0.1 mm more at left-in");
        await Assertions.Expect(phone.Page.Locator("main").First).ToContainTextAsync("Different from the plan");
        await phone.TapBox("Shims fitted");
        await phone.TapBox("Torqued");
        await phone.Tap("Read M1 as left");
        await phone.Read("0,1", "right");
        await Patience.UntilAsync(() => server.Kept.OfType<ReadingEntry>().Count() == 5, "the reading as left on the server");
        Assert.Contains("left-in 0.1", server.Kept.OfType<ReadingEntry>().MaxBy(r => r.At)!.Shims, StringComparison.Ordinal);
        await phone.Tap("Back to the aircraft");
        await Assertions.Expect(phone.Page.Locator("main").First).ToContainTextAsync("Cautions");
        Assert.Empty(phone.Errors);
    }

    [Fact]
    public async Task The_keyboard_alone_takes_a_reading_and_takes_it_back()
    {
        await using SheetServer server = await SheetServer.Start(Job());
        await using Phone phone = await Phone.Start();
        await phone.Open(server.Address);
        await phone.Page.GetByRole(AriaRole.Button, new() { Name = "M3: 0 of 4 places read" }).FocusAsync();
        await phone.Page.Keyboard.PressAsync("Enter");
        await phone.Page.Keyboard.TypeAsync("0,4");
        await phone.Page.Keyboard.PressAsync("ArrowLeft");
        await Assertions.Expect(phone.Page.Locator(".last").First).ToContainTextAsync("F 0.4° left");
        await phone.Page.Keyboard.PressAsync("Control+z");
        await Assertions.Expect(phone.Page.Locator(".ask").First).ToContainTextAsync("Taken back: 0.4° left low.");
        await Assertions.Expect(phone.Page.Locator(".last").First).ToContainTextAsync("No readings here yet");
    }
}
