using VibeCheck.Core.Statistics;

namespace VibeCheck.Logs.Clocks;

/// <summary>Estimates the usual time between samples from stamps with jitter, gaps and zero steps.</summary>
internal static class SamplePeriod
{
    // At most this many steps are examined, spread over the record.
    private const int MostSteps = 200_000;

    // Steps are steady when this share of them lies this close to their median, relative.
    private const double SteadyShare = 0.8,
        Near = 0.2;

    // Where they are not steady: slopes over this many rows, at this many places. Their 40 % quantile is used, because gaps only raise
    // a slope.
    private const int MostWindow = 200,
        MostWindows = 2000;

    // Used where all stamps are the same.
    private const double FallbackS = 1e-3;

    /// <summary>The period, s, above 0: the trimmed mean of the steps where they are steady, else a low quantile of the slopes over many
    /// rows. Also the share of steps that are zero, 0 to 1.</summary>
    /// <param name="timeS">Stamps that never fall, s; two or more.</param>
    internal static (double PeriodS, double ZeroStepShare) Of(ReadOnlySpan<double> timeS)
    {
        int n = timeS.Length;
        int stride = Math.Max(1, n / MostSteps);
        double[] steps = new double[(n - 2) / stride + 1];
        int zeros = 0;
        for (int i = 1, s = 0; i < n; i += stride, s++)
        {
            double step = timeS[i] - timeS[i - 1];
            zeros += step <= 0 ? 1 : 0;
            steps[s] = step;
        }

        double zeroShare = (double)zeros / steps.Length;
        double median = Selection.Take(steps, steps.Length / 2);
        int near = 0;
        double sum = 0;
        foreach (double step in steps)
        {
            if (Math.Abs(step - median) <= Near * median)
            {
                near++;
                sum += step;
            }
        }

        return median > 0 && near > SteadyShare * steps.Length ? (sum / near, zeroShare) : (BySlopes(timeS, median), zeroShare);
    }

    private static double BySlopes(ReadOnlySpan<double> timeS, double medianStepS)
    {
        int n = timeS.Length;
        int window = Math.Clamp(n / 20, 1, MostWindow);
        int move = Math.Max(1, (n - 1 - window) / MostWindows);
        var slopes = new List<double>();
        for (int i = 0; i + window < n; i += move)
        {
            slopes.Add((timeS[i + window] - timeS[i]) / window);
        }

        slopes.Sort();
        double slope = slopes.Count == 0 ? 0 : slopes[slopes.Count * 4 / 10];
        double whole = (timeS[n - 1] - timeS[0]) / (n - 1);
        double period =
            slope > 0 ? slope
            : medianStepS > 0 ? medianStepS
            : whole;
        return period > 0 ? period : FallbackS;
    }
}
