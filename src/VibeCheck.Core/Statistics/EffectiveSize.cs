namespace VibeCheck.Core.Statistics;

/// <summary>Effective number of values in a series of dependent values.</summary>
internal static class EffectiveSize
{
    /// <summary>Autocorrelation Σ d_i d_{i+k} / Σ d².</summary>
    /// <param name="departures">Values less their mean (or less the fit, for residuals), in order of time.</param>
    /// <param name="squares">Σ d², above 0.</param>
    /// <param name="lag">k, 1 or more.</param>
    internal static double Autocorrelation(ReadOnlySpan<double> departures, double squares, int lag)
    {
        double products = 0;
        for (int i = 0; i + lag < departures.Length; i++)
        {
            products += departures[i] * departures[i + lag];
        }

        return products / squares;
    }

    /// <summary>Variance of the mean over that of independent values, 1 + 2 Σ (1 - k/n) r_k.</summary>
    /// <param name="count">n.</param>
    /// <param name="autocorrelations">r_1, r_2, ... as far as they count; at most n - 1.</param>
    /// <remarks>Exact for any stationary run whose correlations are known; F. Zwiers, H. von Storch, J. Climate 8 (1995) 336-351.</remarks>
    internal static double Inflation(int count, IEnumerable<double> autocorrelations)
    {
        double sum = 0;
        int lag = 0;
        foreach (double r in autocorrelations)
        {
            lag++;
            sum += (1 - (double)lag / count) * r;
        }

        return 1 + 2 * sum;
    }

    /// <summary>The same for a long first-order run, where r_k = r^k: (1 + r) / (1 - r).</summary>
    /// <param name="lagOne">r, above -1 and below 1.</param>
    /// <remarks>F. Zwiers, H. von Storch, as above.</remarks>
    internal static double InflationOfFirstOrder(double lagOne) => (1 + lagOne) / (1 - lagOne);
}
