using VibeCheck.Core.Comparisons;

namespace VibeCheck.Reports.Json;

/// <summary>The machine-readable result of a comparison, schema vibecheck.compare/1.</summary>
public static class ComparisonJson
{
    /// <summary>Writes the result as UTF-8; the stream stays open. Units are in the field names; an unknown amount is null, and <c>why</c>
    /// beside it gives the reason.</summary>
    public static void Write(Comparison comparison, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        ResultOptions.Write(stream, new ComparisonFields(comparison));
    }
}
