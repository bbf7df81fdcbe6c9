using Microsoft.Playwright;

namespace VibeCheck.Workbench.Tests;

/// <summary>The steps from an empty folder to the verdict on the sample job, as a user does them with a mouse.</summary>
internal static class Journey
{
    private const string Sample = "reshim-hexa";

    /// <summary>The logs of the sample, with names that a user would give them.</summary>
    internal static FilePayload[] Logs { get; } =
    [
        .. new[] { ("before-1", "imu"), ("before-1", "esc"), ("after-1", "imu"), ("after-1", "esc") }.Select(l => new FilePayload
        {
            Name = $"{l.Item1}-{l.Item2}.csv",
            MimeType = "text/csv",
            Buffer = File.ReadAllBytes(Repository.Sample(Sample, l.Item1, l.Item2 + ".csv")),
        }),
    ];

    /// <summary>Lines of the sample's survey.</summary>
    internal static IEnumerable<string[]> Readings =>
        File.ReadLines(Repository.Sample(Sample, "survey.csv")).Skip(1).Select(l => l.Split(','));

    internal static async Task DrawAircraftAsync(IPage page)
    {
        await page.GetByRole(AriaRole.Heading, new() { Name = "Draw the aircraft" }).WaitForAsync();
        for (int arm = 4; arm < 6; arm++)
        {
            await page.GetByRole(AriaRole.Button, new() { Name = "One arm more" }).ClickAsync();
        }

        await page.GetByText("6 arms").WaitForAsync();
        await FillAsync(page, "Motor to motor over the centre, mm", "840");
        await FillAsync(page, "Take-off mass, kg", "6.8");
        await FillAsync(page, "Pole pairs", "14");
        await page.GetByRole(AriaRole.Button, new() { Name = "square", Exact = true }).ClickAsync();
        await FillAsync(page, "Name of the aircraft", "Demo hexa");
        await page.GetByRole(AriaRole.Button, new() { Name = "Save the aircraft" }).ClickAsync();
        await page.GetByText("Saved in airframe.toml").WaitForAsync();
    }

    internal static async Task FillAsync(IPage page, string label, string text)
    {
        ILocator field = page.GetByLabel(label, new() { Exact = true }).First;
        await field.FillAsync(text);
        await field.BlurAsync();
    }

    internal static async Task DropLogsAsync(IPage page)
    {
        await page.Locator("input[data-logs]").SetInputFilesAsync(Logs);
        await page.Locator("#before .state", new() { HasText = "1 flight" }).WaitForAsync();
        await page.Locator("#after .state", new() { HasText = "1 flight" }).WaitForAsync();
    }

    /// <summary>Opens a step of the job where it is collapsed.</summary>
    internal static async Task OpenStepAsync(IPage page, string id)
    {
        ILocator head = page.Locator($"#{id} h2 button");
        if (await head.GetAttributeAsync("aria-expanded") == "false")
        {
            await head.ClickAsync();
        }

        await page.Locator($"#{id} .inside").WaitForAsync();
    }

    /// <summary>Types a reading of the sample and clicks its low side.</summary>
    internal static async Task TakeReadingAsync(IPage page, string[] reading)
    {
        (string motor, string when, string where, string direction, string angle, string side) = (
            reading[0],
            reading[1],
            reading[2],
            reading[3],
            reading[4],
            reading[5]
        );
        string step = when == "as-found" ? "survey" : "left";
        await OpenStepAsync(page, step);
        ILocator box = page.Locator($"#{step}");
        ILocator choice = box.GetByRole(AriaRole.Navigation).GetByRole(AriaRole.Link, new() { NameRegex = new($"^{motor}( |$)") });
        if (await choice.GetAttributeAsync("aria-current") != "true")
        {
            await choice.ClickAsync();
            await box.Locator($".motors a[aria-current=true]", new() { HasText = motor }).WaitForAsync();
        }

        string place = $"{(where == "frame" ? "Frame" : "Mount")}, {direction} the arm";
        ILocator row = box.Locator(".place", new() { Has = page.GetByText(place, new() { Exact = true }) });
        int before = await row.Locator(".chip").CountAsync();
        await row.Locator("input").FillAsync(angle);
        string button =
            side == "level"
                ? direction == "across"
                    ? "left low"
                    : "in low"
                : side + " low";
        await row.GetByText(button, new() { Exact = true }).ClickAsync();
        await row.Locator(".chip").Nth(before).WaitForAsync();
    }
}
