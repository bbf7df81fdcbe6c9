namespace VibeCheck.Core.Findings;

/// <summary>Middle of a few motors' values.</summary>
internal static class Middle
{
    /// <summary>Median; NaN of none.</summary>
    internal static double Of(IEnumerable<double> values)
    {
        double[] sorted = [.. values.Order()];
        return sorted.Length == 0 ? double.NaN
            : sorted.Length % 2 == 1 ? sorted[sorted.Length / 2]
            : (sorted[sorted.Length / 2 - 1] + sorted[sorted.Length / 2]) / 2;
    }
}
