using VibeCheck.Core.Tracks;
using Tuning = VibeCheck.Core.Orders.SpeedSearch.SpeedSearchTuning.Actuator;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>The slow change that all rotors' scales share: an emptying battery needs more command for the same speed.</summary>
internal static class CommonDrift
{
    /// <summary>The drift as a factor about 1 against time, or null where there are too few windows.</summary>
    /// <param name="scores">One a motor, of like windows.</param>
    internal static Series? Of(IReadOnlyList<SpeedProfile> scores)
    {
        int windows = scores.Min(s => s.Windows);
        if (windows < 2 * Tuning.DriftWindows)
        {
            return null;
        }

        double[][][] patterns = [.. scores.Select(s => Patterns(s, windows))];
        int columns = scores[0].Grid.Columns;
        double[] shift = new double[windows];
        int middle = windows / 2;
        Follow(patterns, scores[0], middle, 1, windows, shift);
        Follow(patterns, scores[0], middle, -1, windows, shift);
        Smooth(shift);
        double hz = scores[0].Grid.HzOf(columns / 2.0),
            mean = shift.Average();
        double[] timeS = [.. Enumerable.Range(0, windows).Select(w => scores.Average(s => s.CentreS[w]))];
        return new(timeS, Array.ConvertAll(shift, d => 1 + (d - mean) * scores[0].Grid.StepHz / hz));
    }

    private static double[][] Patterns(SpeedProfile score, int windows)
    {
        double[][] patterns = new double[windows][];
        for (int w = 0; w < windows; w++)
        {
            double[] sum = new double[score.Grid.Columns];
            for (int near = Math.Max(0, w - 1); near <= Math.Min(windows - 1, w + 1); near++)
            {
                score.AddWindow(near, sum);
            }

            patterns[w] = sum;
        }

        return patterns;
    }

    /// <summary>From the centre outwards: each window is laid against the mean of those before it, each moved to its place.</summary>
    private static void Follow(double[][][] patterns, SpeedProfile score, int from, int direction, int windows, double[] shift)
    {
        int columns = patterns[0][0].Length;
        double[][] reference = [.. patterns.Select(p => (double[])p[from].Clone())];
        for (int w = from + direction; w >= 0 && w < windows; w += direction)
        {
            int last = (int)Math.Round(shift[w - direction]),
                best = last;
            double apartS = Math.Abs(score.CentreS[w] - score.CentreS[w - direction]);
            double share = Math.Min(Tuning.MostDriftAcrossGap, Tuning.MostDriftPerS * apartS);
            int reach = Math.Max(1, (int)Math.Ceiling(share * score.Grid.HzOf(columns / 2.0) / score.Grid.StepHz));
            double most = double.NegativeInfinity;
            for (int d = last - reach; d <= last + reach; d++)
            {
                double likeness = 0;
                for (int m = 0; m < patterns.Length; m++)
                {
                    for (int c = Math.Max(0, -d); c < Math.Min(columns, columns - d); c++)
                    {
                        likeness += reference[m][c] * patterns[m][w][c + d];
                    }
                }

                if (likeness > most)
                {
                    (most, best) = (likeness, d);
                }
            }

            shift[w] = best;
            for (int m = 0; m < patterns.Length; m++)
            {
                for (int c = 0; c < columns; c++)
                {
                    int at = c + best;
                    reference[m][c] = 0.8 * reference[m][c] + 0.2 * (at >= 0 && at < columns ? patterns[m][w][at] : 0);
                }
            }
        }
    }

    private static void Smooth(double[] shift)
    {
        double[] raw = [.. shift];
        for (int w = 0; w < shift.Length; w++)
        {
            // A straight line through the neighbours, so that the ends do not lag.
            int from = Math.Max(0, w - Tuning.DriftWindows),
                to = Math.Min(shift.Length - 1, w + Tuning.DriftWindows);
            double n = to - from + 1,
                mx = (from + to) / 2.0,
                my = 0,
                xy = 0,
                xx = 0;
            for (int i = from; i <= to; i++)
            {
                my += raw[i] / n;
            }

            for (int i = from; i <= to; i++)
            {
                xy += (i - mx) * (raw[i] - my);
                xx += (i - mx) * (i - mx);
            }

            shift[w] = my + xy / xx * (w - mx);
        }
    }
}
