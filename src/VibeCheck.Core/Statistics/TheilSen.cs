using MathNet.Numerics.Distributions;

namespace VibeCheck.Core.Statistics;

/// <summary>A straight line that a few wild points do not move: the median of the slopes between all pairs of points.</summary>
/// <param name="Slope">Median slope, y per x.</param>
/// <param name="Intercept">median(y) - slope · median(x).</param>
/// <param name="SlopeInterval">Interval of the slope at the requested confidence.</param>
/// <param name="PointCount">Points it rests on.</param>
/// <remarks>P. K. Sen, J. Am. Statist. Assoc. 63 (1968) 1379-1389: the interval's ends are slopes whose ranks follow from the variance
/// of Kendall's statistic, ties counted, by the normal law.</remarks>
public sealed record TheilSen(double Slope, double Intercept, Interval SlopeInterval, int PointCount)
{
    /// <summary>Fits a line.</summary>
    /// <param name="x">Places.</param>
    /// <param name="y">One value a place.</param>
    /// <param name="confidence">Between 0 and 1, such as 0.95.</param>
    /// <param name="leastStep">Places nearer than this are taken as one, so that slopes over a step
    /// that is not known do not count; 0 for none.</param>
    /// <returns>Null where no two places differ by so much.</returns>
    /// <exception cref="ArgumentException">Lengths differ.</exception>
    public static TheilSen? Fit(IReadOnlyList<double> x, IReadOnlyList<double> y, double confidence = 0.95, double leastStep = 0)
    {
        ArgumentNullException.ThrowIfNull(x);
        ArgumentNullException.ThrowIfNull(y);
        Require.SameLength(x.Count, y.Count, nameof(y));
        double[] slopes = Slopes(x, y, leastStep);
        if (slopes.Length == 0)
        {
            return null;
        }

        double z = Normal.InvCDF(0, 1, 0.5 + confidence / 2),
            sigma = Math.Sqrt(Math.Max(0, KendallVariance(x, y, leastStep)));
        int low = Math.Max(Nearest((slopes.Length - z * sigma) / 2) - 1, 0);
        int high = Math.Min(Nearest((slopes.Length + z * sigma) / 2), slopes.Length - 1);
        double slope = Median(slopes);
        return new(
            slope,
            Median([.. y.Order()]) - slope * Median([.. x.Order()]),
            new Interval(slopes[Math.Min(low, high)], slopes[high]),
            x.Count
        );
    }

    private static int Nearest(double value) => (int)Math.Round(value, MidpointRounding.ToEven);

    private static double[] Slopes(IReadOnlyList<double> x, IReadOnlyList<double> y, double leastStep)
    {
        var slopes = new List<double>();
        for (int i = 0; i < x.Count; i++)
        {
            for (int j = i + 1; j < x.Count; j++)
            {
                if (x[j] != x[i] && Math.Abs(x[j] - x[i]) >= leastStep)
                {
                    slopes.Add((y[j] - y[i]) / (x[j] - x[i]));
                }
            }
        }

        slopes.Sort();
        return [.. slopes];
    }

    private static double KendallVariance(IReadOnlyList<double> x, IReadOnlyList<double> y, double leastStep)
    {
        double n = x.Count;
        return (n * (n - 1) * (2 * n + 5) - Ties(x, leastStep) - Ties(y, 0)) / 18;
    }

    private static double Ties(IReadOnlyList<double> values, double leastStep)
    {
        double sum = 0,
            first = double.NegativeInfinity;
        int alike = 0;
        foreach (double value in values.Order().Append(double.PositiveInfinity))
        {
            if (value == first || value - first < leastStep)
            {
                alike++;
                continue;
            }

            sum += alike > 1 ? alike * (alike - 1.0) * (2 * alike + 5) : 0;
            (first, alike) = (value, 1);
        }

        return sum;
    }

    private static double Median(double[] sorted) =>
        sorted.Length % 2 == 1 ? sorted[sorted.Length / 2] : (sorted[sorted.Length / 2 - 1] + sorted[sorted.Length / 2]) / 2;
}
