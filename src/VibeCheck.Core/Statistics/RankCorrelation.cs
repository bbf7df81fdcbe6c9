namespace VibeCheck.Core.Statistics;

/// <summary>Whether two quantities rise together, whatever the shape of their relation.</summary>
public static class RankCorrelation
{
    /// <summary>Kendall's τ with its exact two-sided p value.</summary>
    /// <param name="x">Values, 3 to 100, no two alike.</param>
    /// <param name="y">One a value of <paramref name="x"/>; ties count as half and make the p value approximate.</param>
    /// <exception cref="ArgumentException">Lengths differ.</exception>
    /// <remarks>M. Hollander, D. Wolfe, Nonparametric Statistical Methods (1973): counts of orderings by their inversions.</remarks>
    public static (double Tau, double PValue) Kendall(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        ArgumentNullException.ThrowIfNull(x);
        ArgumentNullException.ThrowIfNull(y);
        Require.SameLength(x.Count, y.Count, nameof(y));
        double concordant = 0;
        int n = x.Count,
            pairs = n * (n - 1) / 2;
        for (int i = 0; i < n; i++)
        {
            for (int j = i + 1; j < n; j++)
            {
                double product = (x[j] - x[i]) * (y[j] - y[i]);
                concordant +=
                    product > 0 ? 1
                    : product == 0 ? 0.5
                    : 0;
            }
        }

        double[] share = InversionShares(n);
        int far = (int)Math.Ceiling(Math.Max(concordant, pairs - concordant) - 1e-9);
        double tail = 0;
        for (int k = far; k <= pairs; k++)
        {
            tail += share[k];
        }

        return (2 * concordant / pairs - 1, Math.Min(1, 2 * tail));
    }

    /// <summary>Share of the orderings of n things that have k inversions.</summary>
    private static double[] InversionShares(int n)
    {
        double[] share = [1];
        for (int size = 2; size <= n; size++)
        {
            double[] next = new double[share.Length + size - 1];
            for (int k = 0; k < share.Length; k++)
            {
                for (int more = 0; more < size; more++)
                {
                    next[k + more] += share[k] / size;
                }
            }

            share = next;
        }

        return share;
    }
}
