namespace VibeCheck.Core.Statistics;

/// <summary>Medians and scatters that a few wild values do not move.</summary>
internal static class Robust
{
    /// <summary>Median, and 1.4826 times the median distance from it: the standard deviation of a normal law. NaN of no values.</summary>
    internal static (double Median, double ScaledMad) MedianAndMad(double[] values)
    {
        double middle = Quantile(values, 0.5);
        return (middle, 1.4826 * Quantile(Array.ConvertAll(values, v => Math.Abs(v - middle)), 0.5));
    }

    /// <summary>Median; NaN of no values.</summary>
    internal static double Median(IEnumerable<double> values) => Quantile([.. values], 0.5);

    /// <summary>The median, or the upper of the two middle values; sorts the values. NaN counts as the least.</summary>
    /// <param name="values">One or more.</param>
    internal static double UpperMedian(double[] values)
    {
        Array.Sort(values);
        return values[values.Length / 2];
    }

    /// <summary>Quantile by linear interpolation between order statistics; NaN of no values.</summary>
    /// <param name="values">None of them NaN.</param>
    /// <param name="share">0 to 1.</param>
    internal static double Quantile(double[] values, double share)
    {
        if (values.Length == 0)
        {
            return double.NaN;
        }

        double at = share * (values.Length - 1);
        int below = (int)at;
        Span<double> all = [.. values];
        double low = Selection.Take(all, below);
        return below + 1 < all.Length ? low + (at - below) * (Least(all[(below + 1)..]) - low) : low;
    }

    private static double Least(ReadOnlySpan<double> values)
    {
        double least = values[0];
        foreach (double value in values)
        {
            least = Math.Min(least, value);
        }

        return least;
    }

    /// <summary>Finite values in chosen cells.</summary>
    internal static double[] Where(double[] values, bool[] chosen)
    {
        List<double> kept = [];
        for (int i = 0; i < values.Length; i++)
        {
            if (chosen[i] && double.IsFinite(values[i]))
            {
                kept.Add(values[i]);
            }
        }

        return [.. kept];
    }

    /// <summary>Mean over a cell and its finite neighbours up to some cells away; NaN where the cell itself is.</summary>
    internal static double[] Smoothed(double[] values, int half)
    {
        double[] smooth = new double[values.Length];
        for (int i = 0; i < values.Length; i++)
        {
            double sum = 0;
            int n = 0;
            for (int j = Math.Max(0, i - half); j <= Math.Min(values.Length - 1, i + half); j++)
            {
                if (double.IsFinite(values[j]))
                {
                    sum += values[j];
                    n++;
                }
            }

            smooth[i] = double.IsFinite(values[i]) ? sum / n : double.NaN;
        }

        return smooth;
    }
}
