using System.Runtime.Versioning;
using VibeCheck.BenchSheet.State;

namespace VibeCheck.BenchSheet.Platform;

/// <summary>The browser's own storage for this site.</summary>
[SupportedOSPlatform("browser")]
internal sealed class BrowserStorage : IKeyStore
{
    /// <inheritdoc/>
    public IReadOnlyList<string> Keys(string prefix) => BrowserModule.Keys(prefix);

    /// <inheritdoc/>
    public string? Read(string key) => BrowserModule.Read(key);

    /// <inheritdoc/>
    public bool Write(string key, string text) => BrowserModule.Write(key, text);
}
