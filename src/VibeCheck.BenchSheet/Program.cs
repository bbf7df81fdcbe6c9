using Microsoft.AspNetCore.Components.WebAssembly.Hosting;
using VibeCheck.BenchSheet;
using VibeCheck.BenchSheet.Platform;

if (!OperatingSystem.IsBrowser())
{
    return;
}

await BrowserModule.Load();
WebAssemblyHostBuilder builder = WebAssemblyHostBuilder.CreateDefault(args);
builder.RootComponents.Add<App>("#app");
await builder.Build().RunAsync();
