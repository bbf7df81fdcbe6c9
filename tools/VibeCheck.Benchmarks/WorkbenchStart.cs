using System.Diagnostics;
using System.Globalization;
using Microsoft.Playwright;

namespace VibeCheck.Benchmarks;

/// <summary>Times the start of the workbench as a user meets it: the published program on an empty folder, in the system's Chromium, which
/// is running already. A tap is made as soon as the page shows its button.</summary>
internal static class WorkbenchStart
{
    private static readonly string[] s_moments = ["address", "painted", "tapped", "live", "answered"];

    internal static async Task<int> RunAsync(string vibecheck, int starts)
    {
        using IPlaywright playwright = await Playwright.CreateAsync().ConfigureAwait(false);
        await using IBrowser browser = await playwright
            .Chromium.LaunchAsync(
                new() { ExecutablePath = Chromium(), Args = ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"] }
            )
            .ConfigureAwait(false);
        Console.WriteLine("milliseconds from the command to: the address printed, the page painted, a tap (One arm more) made,");
        Console.WriteLine($"the page connected, the tap answered; {Environment.ProcessorCount} cores, the first start not counted");
        Console.WriteLine(string.Concat(s_moments.Select(m => m.PadLeft(10))));
        var all = new List<double[]>();
        for (int start = 0; start <= starts; start++)
        {
            double[] ms = await OnceAsync(vibecheck, browser).ConfigureAwait(false);
            Console.WriteLine(Line(ms) + (start == 0 ? "  not counted" : ""));
            if (start > 0)
            {
                all.Add(ms);
            }
        }

        Console.WriteLine(Line([.. s_moments.Select((_, m) => all.Select(a => a[m]).Order().ElementAt(starts / 2))]) + "  median");
        return 0;
    }

    private static string Chromium() =>
        (Environment.GetEnvironmentVariable("PATH") ?? "")
            .Split(Path.PathSeparator)
            .Select(folder => Path.Combine(folder, "chromium"))
            .FirstOrDefault(File.Exists)
        ?? throw new InvalidOperationException("there is no chromium on this machine");

    private static string Line(double[] ms) => string.Concat(ms.Select(m => m.ToString("F0", CultureInfo.InvariantCulture).PadLeft(10)));

    private static async Task<double[]> OnceAsync(string vibecheck, IBrowser browser)
    {
        DirectoryInfo folder = Directory.CreateTempSubdirectory("vibecheck-bench-");
        await using IBrowserContext context = await browser.NewContextAsync().ConfigureAwait(false);
        IPage page = await context.NewPageAsync().ConfigureAwait(false);

        // The browser has work of its own after a new window.
        await Task.Delay(1500).ConfigureAwait(false);
        double begunMs = DateTimeOffset.UtcNow.ToUnixTimeMilliseconds();
        var clock = Stopwatch.StartNew();
        using Process process = Process.Start(
            new ProcessStartInfo(vibecheck, ["workbench", folder.FullName, "--no-open"]) { RedirectStandardOutput = true }
        )!;
        try
        {
            string address = await AddressAsync(process).ConfigureAwait(false);
            double addressMs = clock.Elapsed.TotalMilliseconds;
            await page.GotoAsync(address, new() { WaitUntil = WaitUntilState.Commit }).ConfigureAwait(false);
            await page.GetByRole(AriaRole.Button, new() { Name = "One arm more" }).ClickAsync().ConfigureAwait(false);
            double tappedMs = clock.Elapsed.TotalMilliseconds;
            ILocator motors = page.Locator("main svg [role=button]");
            await page.Locator("body[data-live]").WaitForAsync(new() { State = WaitForSelectorState.Attached }).ConfigureAwait(false);
            double liveMs = clock.Elapsed.TotalMilliseconds;

            // An aircraft begins with four arms.
            await Assertions.Expect(motors).ToHaveCountAsync(5).ConfigureAwait(false);
            double answeredMs = clock.Elapsed.TotalMilliseconds;
            double paintedMs = await page.EvaluateAsync<double>(
                    "() => performance.timeOrigin + performance.getEntriesByName('first-contentful-paint')[0].startTime"
                )
                .ConfigureAwait(false);
            return [addressMs, paintedMs - begunMs, tappedMs, liveMs, answeredMs];
        }
        finally
        {
            process.Kill(entireProcessTree: true);
            await process.WaitForExitAsync().ConfigureAwait(false);
            folder.Delete(recursive: true);
        }
    }

    private static async Task<string> AddressAsync(Process process)
    {
        while (await process.StandardOutput.ReadLineAsync().ConfigureAwait(false) is string line)
        {
            if (line.StartsWith("http://", StringComparison.Ordinal))
            {
                return line;
            }
        }

        throw new InvalidOperationException("the workbench ended before it printed its address");
    }
}
