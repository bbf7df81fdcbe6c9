using System.Globalization;
using System.Runtime.Versioning;
using VibeCheck.BenchSheet.State;

namespace VibeCheck.BenchSheet.Platform;

/// <summary>The server that the page came from, beside index.html.</summary>
[SupportedOSPlatform("browser")]
internal sealed class BrowserServer : ISheetServer
{
    /// <inheritdoc/>
    public async Task<ServerAnswer> GetJob() => Answer(await BrowserModule.Get("job.json"));

    /// <inheritdoc/>
    public async Task<ServerAnswer> PostEntries(string json, string token) => Answer(await BrowserModule.Post("readings", json, token));

    private static ServerAnswer Answer(string statusAndText)
    {
        int end = statusAndText.IndexOf('\n');
        return new(int.Parse(statusAndText.AsSpan(0, end), CultureInfo.InvariantCulture), statusAndText[(end + 1)..]);
    }
}
