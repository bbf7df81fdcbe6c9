using VibeCheck.Core.Comparisons;

namespace VibeCheck.Reports.Json;

/// <summary>The machine-readable result of a comparison, schema vibecheck.compare/1.</summary>
public static class ComparisonJson
{
    /// <summary>Writes the result as UTF-8. Units stand in the field names; what is unknown is null with a why beside it.</summary>
    public static void Write(Comparison comparison, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        ResultOptions.Write(stream, new ComparisonFields(comparison));
    }
}
