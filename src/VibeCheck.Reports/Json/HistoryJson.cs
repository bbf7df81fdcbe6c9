using VibeCheck.Core.Comparisons;

namespace VibeCheck.Reports.Json;

/// <summary>The machine-readable history of an airframe, schema vibecheck.history/1.</summary>
public static class HistoryJson
{
    /// <summary>Writes the result as UTF-8; the stream stays open. Units are in the field names; an unknown amount is null, and <c>why</c>
    /// beside it gives the reason.</summary>
    public static void Write(History history, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(history);
        ResultOptions.Write(stream, new HistoryFields(history));
    }
}
