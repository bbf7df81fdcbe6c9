using VibeCheck.Core.Statistics;

namespace VibeCheck.Logs.Clocks;

/// <summary>Time stamps that lie on a grid of even steps of which many places are empty. The period is the shortest common step, not the
/// mean.</summary>
internal static class StampGrid
{
    private const int Looked = 40_000;

    // Steps this close to a whole number of periods are on the grid, and at least this share of the steps must be.
    private const double Near = 0.2,
        OnGridShare = 0.97;

    // At least this share of steps must be a single period, and at least this share of places must be empty. Otherwise the usual methods do
    // better.
    private const double LeastSingles = 0.15,
        LeastEmptyShare = 0.015;

    private const int Window = 1000;
    private const double LeastScatter = 1.3;

    /// <summary>The period of the grid, s; null where the stamps lie on no grid, or almost no place is empty.</summary>
    /// <param name="timeS">Stamps that never fall, s.</param>
    /// <param name="usualS">The estimate of the period so far, s.</param>
    internal static double? PeriodS(ReadOnlySpan<double> timeS, double usualS)
    {
        double[] steps = Steps(timeS);
        if (steps.Length < 100)
        {
            return null;
        }

        double period = Selection.Take(steps, steps.Length / 10);
        for (int pass = 0; pass < 3; pass++)
        {
            double sum = 0;
            int n = 0;
            foreach (double step in steps)
            {
                double periods = Math.Round(step / period);
                if (periods is >= 1 and <= 4 && Math.Abs(step - periods * period) < Near * period)
                {
                    sum += step;
                    n += (int)periods;
                }
            }

            if (n == 0)
            {
                return null;
            }

            period = sum / n;
        }

        int near = 0,
            singles = 0,
            several = 0;
        double empty = 0;
        foreach (double step in steps)
        {
            double periods = Math.Round(step / period);
            near += periods >= 1 && (periods > 50 || Math.Abs(step - periods * period) < Near * period) ? 1 : 0;
            singles += periods == 1 ? 1 : 0;
            several += periods is > 1 and < 30 ? 1 : 0;
            empty += periods is > 1 and < 30 ? periods - 1 : 0;
        }

        bool onGrid = near >= OnGridShare * steps.Length && singles >= LeastSingles * steps.Length;
        bool matters = several > LeastEmptyShare * steps.Length || Math.Abs(usualS / period - 1) > 0.02;
        return onGrid && matters && empty > 0 && AreLosses(timeS, period) ? period : null;
    }

    /// <summary>Whether the empty places are random and spread over the whole record. Stamps rounded to a coarse clock stay near a straight
    /// line; after a change of rate, every other place is empty.</summary>
    private static bool AreLosses(ReadOnlySpan<double> timeS, double periodS)
    {
        int window = Math.Min(Window, timeS.Length - 1),
            windows = 0,
            scattered = 0,
            sparse = 0;
        for (int from = 0; from + window < timeS.Length; from += window)
        {
            double slope = (timeS[from + window] - timeS[from]) / window,
                most = 0;
            int singles = 0;
            for (int i = from; i < from + window; i++)
            {
                most = Math.Max(most, Math.Abs(timeS[i] - timeS[from] - slope * (i - from)));
                singles += Math.Round((timeS[i + 1] - timeS[i]) / periodS) == 1 ? 1 : 0;
            }

            windows++;
            scattered += most > LeastScatter * periodS ? 1 : 0;
            sparse += singles < LeastSingles / 2 * window ? 1 : 0;
        }

        return scattered > windows / 2 && sparse < 0.1 * windows + 1;
    }

    /// <summary>The empty places of the grid, in rising order.</summary>
    /// <param name="timeS">Stamps that never fall, s.</param>
    /// <param name="periodS">Period of the grid, s.</param>
    internal static List<SampleLoss> Losses(ReadOnlySpan<double> timeS, double periodS)
    {
        var losses = new List<SampleLoss>();
        for (int i = 1; i < timeS.Length; i++)
        {
            double periods = Math.Round((timeS[i] - timeS[i - 1]) / periodS);
            if (periods > 1)
            {
                losses.Add(new(i - 1, (int)Math.Min(int.MaxValue - 1, periods - 1)));
            }
        }

        return losses;
    }

    /// <summary>Forward steps, from pieces spread over the whole record.</summary>
    private static double[] Steps(ReadOnlySpan<double> timeS)
    {
        int stride = Math.Max(1, timeS.Length / Looked);
        var steps = new List<double>(Math.Min(timeS.Length, Looked + 1));
        for (int i = 1; i < timeS.Length; i += stride)
        {
            double step = timeS[i] - timeS[i - 1];
            if (step > 0)
            {
                steps.Add(step);
            }
        }

        return [.. steps];
    }
}
