namespace VibeCheck.Core.Statistics;

/// <summary>One step up in a sequence of powers: something began.</summary>
/// <remarks>One step in the mean of the logarithm of the power, at the place where the squares about the two means are least (E. S. Page,
/// Biometrika 42, 1955, for the problem); limits are common practice and were checked on simulated flights with and without a
/// step.</remarks>
internal static class PowerStep
{
    /// <summary>Least rise of the power, dB, and least rise in standard errors of the two means.</summary>
    private const double LeastRiseDb = 3,
        LeastSigmas = 6;

    private const int LeastWindows = 3;

    /// <summary>Index of the first value after a step up; null without one.</summary>
    internal static int? Up(double[] power)
    {
        double[] db = [.. power.Select(p => 10 * Math.Log10(Math.Max(p, 1e-12)))];
        (int best, double least) = (-1, double.PositiveInfinity);
        for (int k = LeastWindows; k <= db.Length - LeastWindows; k++)
        {
            double squares = Squares(db.AsSpan(0, k)) + Squares(db.AsSpan(k));
            (best, least) = squares < least ? (k, squares) : (best, least);
        }

        if (best < 0)
        {
            return null;
        }

        double rise = Mean(db.AsSpan(best)) - Mean(db.AsSpan(0, best));
        double sigma = Math.Sqrt(least / Math.Max(1, db.Length - 2) * (1.0 / best + 1.0 / (db.Length - best)));
        return rise > LeastRiseDb && rise > LeastSigmas * sigma ? best : null;
    }

    private static double Mean(ReadOnlySpan<double> values)
    {
        double sum = 0;
        foreach (double v in values)
        {
            sum += v;
        }

        return sum / values.Length;
    }

    private static double Squares(ReadOnlySpan<double> values)
    {
        double mean = Mean(values),
            squares = 0;
        foreach (double v in values)
        {
            squares += (v - mean) * (v - mean);
        }

        return squares;
    }
}
