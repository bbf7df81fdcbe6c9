namespace VibeCheck.BenchSheet.State;

/// <summary>Texts by key that are kept after the page is closed, such as a browser's storage.</summary>
public interface IKeyStore
{
    /// <summary>All keys that begin with a text.</summary>
    IReadOnlyList<string> Keys(string prefix);

    /// <summary>The text of a key; null where there is none.</summary>
    string? Read(string key);

    /// <summary>Keeps a text.</summary>
    /// <returns>Whether it is kept: a browser may refuse, or be full.</returns>
    bool Write(string key, string text);
}
