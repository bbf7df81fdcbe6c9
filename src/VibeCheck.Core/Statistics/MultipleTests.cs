namespace VibeCheck.Core.Statistics;

/// <summary>Controls the error rate of many tests by adjusting each p value for the number of tests.</summary>
public static class MultipleTests
{
    /// <summary>Holm's adjusted p values: calling those at or below α keeps the chance of any false call at α or below.</summary>
    /// <param name="pValues">One p value a test, 0 to 1, in any order; NaN throws.</param>
    /// <returns>Adjusted values in the same order, at most 1.</returns>
    /// <remarks>S. Holm, Scand. J. Statist. 6 (1979) 65-70: sorted upwards, times the count of
    /// tests not yet passed, never falling.</remarks>
    public static double[] Holm(IReadOnlyList<double> pValues)
    {
        int[] order = Sorted(pValues);
        double[] adjusted = new double[order.Length];
        double most = 0;
        for (int i = 0; i < order.Length; i++)
        {
            most = Math.Max(most, Math.Min(1, (order.Length - i) * pValues[order[i]]));
            adjusted[order[i]] = most;
        }

        return adjusted;
    }

    /// <summary>Benjamini and Hochberg's adjusted p values: calling those at or below q keeps the expected share of false ones among
    /// the calls at q or below, and with nothing changed at all the chance of any.</summary>
    /// <param name="pValues">One p value a test, 0 to 1, in any order; NaN throws.</param>
    /// <returns>Adjusted values in the same order, at most 1.</returns>
    /// <remarks>Y. Benjamini, Y. Hochberg, J. R. Statist. Soc. B 57 (1995) 289-300; holds for
    /// tests that lean on each other positively too.</remarks>
    public static double[] BenjaminiHochberg(IReadOnlyList<double> pValues)
    {
        int[] order = Sorted(pValues);
        double[] adjusted = new double[order.Length];
        double least = 1;
        for (int i = order.Length - 1; i >= 0; i--)
        {
            least = Math.Min(least, order.Length * pValues[order[i]] / (i + 1));
            adjusted[order[i]] = least;
        }

        return adjusted;
    }

    private static int[] Sorted(IReadOnlyList<double> pValues)
    {
        ArgumentNullException.ThrowIfNull(pValues);
        foreach (double p in pValues)
        {
            if (!(p >= 0 && p <= 1))
            {
                throw new ArgumentOutOfRangeException(nameof(pValues), p, "must lie from 0 to 1");
            }
        }

        int[] order = [.. Enumerable.Range(0, pValues.Count)];
        Array.Sort(order, (a, b) => pValues[a] != pValues[b] ? pValues[a].CompareTo(pValues[b]) : a.CompareTo(b));
        return order;
    }
}
