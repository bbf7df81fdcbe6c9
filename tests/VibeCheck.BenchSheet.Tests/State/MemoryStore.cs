using VibeCheck.BenchSheet.State;

namespace VibeCheck.BenchSheet.Tests.State;

/// <summary>A browser's storage, kept in memory.</summary>
internal sealed class MemoryStore : IKeyStore
{
    private readonly SortedDictionary<string, string> _texts = new(StringComparer.Ordinal);

    /// <summary>Whether the store is full.</summary>
    internal bool IsFull { get; set; }

    public IReadOnlyList<string> Keys(string prefix) => [.. _texts.Keys.Where(k => k.StartsWith(prefix, StringComparison.Ordinal))];

    public string? Read(string key) => _texts.GetValueOrDefault(key);

    public bool Write(string key, string text)
    {
        if (!IsFull)
        {
            _texts[key] = text;
        }

        return !IsFull;
    }
}
