using System.Text.Json;
using VibeCheck.Logs.Sheets;

namespace VibeCheck.BenchSheet.State;

/// <summary>Stores the entries one by one. No entry is ever overwritten, so two open pages cannot lose each other's entries.</summary>
/// <param name="keys">Where they are stored.</param>
public sealed class SheetStore(IKeyStore keys)
{
    private const string Root = "vibecheck.sheet/";
    private const string LastJob = Root + "last-job";

    /// <summary>Whether everything so far could be stored.</summary>
    internal bool IsWhole { get; private set; } = true;

    /// <summary>The job that was on the screen last; null for none.</summary>
    internal string? Last => keys.Read(LastJob);

    /// <summary>All jobs that were ever stored.</summary>
    internal IReadOnlyList<string> Jobs =>
        [.. keys.Keys(Root + "job/").Select(k => k[(Root + "job/").Length..]).Order(StringComparer.Ordinal)];

    /// <summary>What is known of a job without its entries; null where it was never kept.</summary>
    internal SheetJob? Job(string job) => SheetJson.Read(keys.Read($"{Root}job/{job}"), SheetJson.Default.SheetJob);

    /// <summary>Makes a job the last one.</summary>
    internal void Open(string job) => Write(LastJob, job);

    /// <summary>Keeps what is known of a job. The token is left out: it is requested again.</summary>
    internal void Keep(string job, SheetJob about) =>
        Write($"{Root}job/{job}", JsonSerializer.Serialize(about with { Entries = [], Token = null }, SheetJson.Default.SheetJob));

    /// <summary>The entries of a job.</summary>
    internal IReadOnlyList<SheetEntry> Entries(string job) =>
        [
            .. keys.Keys($"{Root}entry/{job}/")
                .Select(k => SheetJson.Read(keys.Read(k), SheetJson.Default.SheetEntry))
                .OfType<SheetEntry>()
                .OrderBy(e => e.At),
        ];

    /// <summary>Keeps an entry.</summary>
    internal void Add(string job, SheetEntry entry) =>
        Write($"{Root}entry/{job}/{entry.Id}", JsonSerializer.Serialize(entry, SheetJson.Default.SheetEntry));

    /// <summary>Ids of the entries that the server has.</summary>
    internal IEnumerable<Guid> Sent(string job) => Ids($"{Root}sent/{job}/");

    /// <summary>Records that the server has an entry.</summary>
    internal void MarkSent(string job, Guid id) => Write($"{Root}sent/{job}/{id}", "");

    /// <summary>Entries that the server refused, each with its reason.</summary>
    internal IReadOnlyDictionary<Guid, string> Refused(string job) =>
        Ids($"{Root}refused/{job}/").ToDictionary(id => id, id => keys.Read($"{Root}refused/{job}/{id}") ?? "");

    /// <summary>Records that the server refused an entry.</summary>
    internal void MarkRefused(string job, Guid id, string why) => Write($"{Root}refused/{job}/{id}", why);

    /// <summary>What was on the screen; the start where nothing was kept.</summary>
    internal SheetView View(string job)
    {
        try
        {
            return keys.Read($"{Root}view/{job}") is string text
                ? JsonSerializer.Deserialize(text, ViewJson.Default.SheetView) ?? new()
                : new();
        }
        catch (JsonException)
        {
            return new();
        }
    }

    /// <summary>Keeps what is on the screen.</summary>
    internal void Keep(string job, SheetView view) =>
        Write($"{Root}view/{job}", JsonSerializer.Serialize(view, ViewJson.Default.SheetView));

    private IEnumerable<Guid> Ids(string prefix) =>
        keys.Keys(prefix).Select(k => Guid.TryParse(k.AsSpan(prefix.Length), out Guid id) ? id : Guid.Empty).Where(id => id != Guid.Empty);

    private void Write(string key, string text) => IsWhole &= keys.Write(key, text);
}
