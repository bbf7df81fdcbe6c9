using Microsoft.Playwright;
using VibeCheck.Logs.Sheets;

namespace VibeCheck.BenchSheet.Tests.Browser;

public sealed class LookTests
{
    [Theory]
    [InlineData(360, 640, false)]
    [InlineData(412, 915, false)]
    [InlineData(360, 640, true)]
    public async Task Look(int width, int height, bool dark)
    {
        string toml = File.ReadAllText(Path.Combine(Repository.Root, "sample-logs", "reshim-hexa", "airframe.toml"));
        await using SheetServer server = await SheetServer.Start(new() { Job = "j1", Title = "Re-shim after arm swap", AirframeToml = toml });
        await using Phone phone = await Phone.Start(width, height, dark);
        string name = $"/tmp/look/{width}{(dark ? "d" : "")}-";
        Directory.CreateDirectory("/tmp/look");
        async Task Shot(string what) => await phone.Page.ScreenshotAsync(new() { Path = name + what + ".png" });
        try
        {
            await phone.Open(server.Address);
            await Shot("1aircraft");
            await phone.TapBox("Propellers off");
            await phone.TapBox("Battery out");
            await phone.Tap("Start with M1");
            await Shot("2motor");
            await phone.Read("0,1", "right");
            await phone.Read("0.5", "right");
            await phone.Type("0.2");
            await Shot("3along");
            await phone.Page.Locator(".bench .side.out").TapAsync();
            await phone.Read("0.2", "out");
            await Shot("4done");
            await phone.Page.ScreenshotAsync(new() { Path = name + "5full.png", FullPage = true });
            await phone.Tap("Settings and files");
            await phone.Page.ScreenshotAsync(new() { Path = name + "6more.png", FullPage = true });
            await phone.TapBox("Bull's-eye level: angle and hour of the bubble");
            await phone.Tap("Back");
            await phone.Page.ScreenshotAsync(new() { Path = name + "7bulls.png", FullPage = true });
            await phone.Tap("Back to the aircraft");
            await phone.Page.ScreenshotAsync(new() { Path = name + "8aircraft.png", FullPage = true });
        }
        finally
        {
            await File.WriteAllTextAsync(name + "errors.txt", string.Join("\n", phone.Errors));
        }
    }
}
