using VibeCheck.Core.Comparisons;

namespace VibeCheck.Reports.Json;

/// <summary>The machine-readable history of an airframe, schema vibecheck.history/1.</summary>
public static class HistoryJson
{
    /// <summary>Writes the result as UTF-8. Units stand in the field names; what is unknown is null with a why beside it.</summary>
    public static void Write(History history, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(history);
        ResultOptions.Write(stream, new HistoryFields(history));
    }
}
