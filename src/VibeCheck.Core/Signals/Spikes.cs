using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Signals;

/// <summary>Readings of telemetry that cannot be: a speed of 0 or of three times the rest for the length of one message.</summary>
internal static class Spikes
{
    private const int Neighbours = 2;
    private const double MostDeparture = 0.5;

    /// <summary>The series without readings that differ from the median of their neighbourhood by more than half of it.</summary>
    /// <remarks>Five readings judge each; a rotor cannot halve its speed and come back within four messages.</remarks>
    internal static Series Without(Series series)
    {
        List<int> kept = [];
        double[] values = series.Values;
        Span<double> around = stackalloc double[2 * Neighbours + 1];
        for (int i = 0; i < values.Length; i++)
        {
            double middle = MiddleAround(values, i, around);
            if (Math.Abs(values[i] - middle) <= MostDeparture * Math.Abs(middle))
            {
                kept.Add(i);
            }
        }

        return kept.Count == values.Length ? series : new([.. kept.Select(i => series.TimeS[i])], [.. kept.Select(i => values[i])]);
    }

    private static double MiddleAround(ReadOnlySpan<double> values, int at, Span<double> around)
    {
        int first = Math.Max(0, at - Neighbours),
            count = Math.Min(values.Length, at + Neighbours + 1) - first;
        if (count == 5)
        {
            return Selection.MedianOfFive(values.Slice(first, 5));
        }

        Span<double> sorted = around[..count];
        values.Slice(first, count).CopyTo(sorted);
        sorted.Sort();
        return count % 2 == 1 ? sorted[count / 2] : (sorted[count / 2 - 1] + sorted[count / 2]) / 2;
    }
}
