using MathNet.Numerics.Distributions;

namespace VibeCheck.Core.Statistics;

/// <summary>Mean of values in order of time, with the uncertainty that follows from their dependence.</summary>
/// <remarks>
/// Effective count n / (1 + 2 Σ (1 - k/n) r_k), the sum ended at the first r_k that is not clearly above 0 (F. Zwiers, H. von Storch,
/// J. Climate 8 (1995) 336-351). A sample's own autocorrelation is biased low because its own mean was subtracted; the
/// inflation / n that this costs is added back once. The interval is Student's with the effective count less one.
/// </remarks>
internal readonly record struct DependentMean
{
    private const double LeastEffective = 3;
    private const int MostBlocks = 2000;

    private DependentMean(double mean, double standardError, double effectiveCount)
    {
        Mean = mean;
        StandardError = standardError;
        EffectiveCount = effectiveCount;
    }

    internal double Mean { get; }

    /// <summary>Standard deviation of the mean; NaN with fewer than two values.</summary>
    internal double StandardError { get; }

    /// <summary>Number of independent values with the same information.</summary>
    internal double EffectiveCount { get; }

    /// <summary>Half width of the 95 % interval; null with fewer than three effective values.</summary>
    internal double? Half95 => EffectiveCount < LeastEffective ? null : StandardError * StudentT.InvCDF(0, 1, EffectiveCount - 1, 0.975);

    /// <summary>The mean as an estimate in the values' own unit.</summary>
    /// <param name="values">What the interval would need more of.</param>
    internal Estimate ToEstimate(IndependentValues values) =>
        Half95 is double half ? Estimate.Around(Mean, half) : Estimate.WithoutInterval(Mean, new HoverTooShortForInterval(values));

    internal static DependentMean Of(IReadOnlyList<double> values)
    {
        double mean = values.Average();
        double[] from = Blocks(values, mean);
        int n = from.Length;
        double squares = from.Sum(d => d * d);
        if (n < 2)
        {
            return new(mean, double.NaN, n);
        }

        if (squares <= 0)
        {
            // All alike (a frozen or coarse reading): nothing speaks of scatter, but there are n of them.
            return new(mean, 0, n);
        }

        double first = Inflation(from, squares, 0),
            inflation = Inflation(from, squares, first / n);
        double effective = n / inflation;
        double variance = squares / Math.Max(n - inflation, 1);
        return new(mean, Math.Sqrt(variance / effective), effective);
    }

    /// <summary>Departures from the mean; of many values, those of the means of blocks, which say the same of slow dependence.</summary>
    private static double[] Blocks(IReadOnlyList<double> values, double mean)
    {
        int size = 1 + values.Count / MostBlocks,
            count = values.Count / size;
        double[] from = new double[count];
        for (int i = 0; i < count * size; i++)
        {
            from[i / size] += (values[i] - mean) / size;
        }

        return from;
    }

    private static double Inflation(double[] from, double squares, double lift) =>
        EffectiveSize.Inflation(from.Length, Correlations(from, squares, lift));

    /// <summary>Autocorrelations up to the first that is not clearly above 0, or a third of the run.</summary>
    private static IEnumerable<double> Correlations(double[] from, double squares, double lift)
    {
        double noise = 1.0 / Math.Sqrt(from.Length);
        for (int k = 1; k <= from.Length / 3; k++)
        {
            double r = EffectiveSize.Autocorrelation(from, squares, k) + lift;
            if (r < noise)
            {
                yield break;
            }

            yield return Math.Min(r, 1);
        }
    }
}
