namespace VibeCheck.Core.Uncertainty;

/// <summary>How many independent values a run of dependent ones is worth for its mean.</summary>
public static class EffectiveSize
{
    /// <summary>Lag-one autocorrelation Σ d_i d_{i+1} / Σ d² about the mean.</summary>
    /// <param name="values">Two or more values in order of time, not all alike; else 0.</param>
    public static double LagOne(ReadOnlySpan<double> values)
    {
        double mean = 0;
        for (int i = 0; i < values.Length; i++)
        {
            mean += (values[i] - mean) / (i + 1);
        }

        double products = 0, squares = 0;
        for (int i = 0; i < values.Length; i++)
        {
            double d = values[i] - mean;
            squares += d * d;
            products += i == 0 ? 0 : d * (values[i - 1] - mean);
        }

        return squares > 0 ? products / squares : 0;
    }

    /// <summary>n (1 - r) / (1 + r), for long runs.</summary>
    /// <param name="count">Values, 1 or more.</param>
    /// <param name="lagOne">Lag-one autocorrelation, above -1 and below 1.</param>
    /// <remarks>F. Zwiers, H. von Storch, J. Climate 8 (1995) 336-351.</remarks>
    public static double OfLongRun(int count, double lagOne) => count * (1 - lagOne) / (1 + lagOne);

    /// <summary>n / (1 + 2 Σ (1 - k/n) r^k): exact for a first-order autoregressive run of any length.</summary>
    /// <param name="count">Values, 1 or more.</param>
    /// <param name="lagOne">Lag-one autocorrelation, above -1 and below 1.</param>
    public static double OfFirstOrder(int count, double lagOne)
    {
        double sum = 0, power = 1;
        for (int k = 1; k < count; k++)
        {
            power *= lagOne;
            sum += (1 - (double)k / count) * power;
        }

        return count / (1 + 2 * sum);
    }
}
