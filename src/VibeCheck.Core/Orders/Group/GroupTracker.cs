using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders.Group;

/// <summary>Follows the group's frequency from window to window: the path under which its orders lie on each other best.</summary>
/// <remarks>Viterbi's search (G. D. Forney, Proc. IEEE 61 (1973) 268-278) over a grid of
/// equal ratios. What a window says for a place is the
/// correlation of its levels with the mean pattern of the group about each order, which is
/// computed again from the path found, three times.</remarks>
internal sealed class GroupTracker
{
    /// <summary>Ratio of neighbouring places, natural logarithm.</summary>
    internal const double StepLog = 0.002;

    /// <summary>How far about an order the pattern of a group reaches, natural logarithm.</summary>
    internal const double PatternLog = 0.1;

    // Rotors change their common speed by a fraction of a percent within a window; a manoeuvre
    // by more, at a price that does not grow for ever.
    private const double UsualStep = 0.006;
    private const double MostCost = 8;
    private const double ReachLog = 0.12;
    private const int Rounds = 3;

    private readonly ShortSpectra _spectra;
    private readonly IReadOnlyList<int> _orders;
    private readonly double[] _baseHz;
    private readonly double[] _weights;

    /// <param name="spectra">Spectra of the hover.</param>
    /// <param name="orders">Orders that are seen.</param>
    /// <param name="hz">Frequency about which to look.</param>
    /// <param name="shape">Expected variation of the frequency with time, mean 1; null when unknown.</param>
    internal GroupTracker(ShortSpectra spectra, IReadOnlyList<int> orders, double hz, Series? shape)
    {
        _spectra = spectra;
        _orders = orders;
        _baseHz = Array.ConvertAll(spectra.CentreS, t => hz * (shape?.At(t) ?? 1));
        // Places are closer together than a window can resolve: each counts by the share of an independent one that it is.
        _weights = [.. orders.Select(k => Math.Min(1, k * hz * StepLog / (1.5 * spectra.ResolutionHz)))];
    }

    internal GroupSpeedPath Follow()
    {
        int half = (int)(PatternLog / StepLog),
            reach = (int)(ReachLog / StepLog);
        float[][][] levels =
        [
            .. _orders.Select(k => Enumerable.Range(0, _spectra.Windows).Select(w => Around(w, k, half + reach)).ToArray()),
        ];
        int[] path = new int[_spectra.Windows];
        for (int round = 0; round < Rounds; round++)
        {
            double[][] patterns = [.. levels.Select(l => Pattern(l, path, half, reach))];
            int[] next = Best(levels, patterns, half, reach);
            if (next.AsSpan().SequenceEqual(path))
            {
                break;
            }

            path = next;
        }

        return new(_spectra.CentreS, [.. path.Select((p, w) => _baseHz[w] * Math.Exp(p * StepLog))]);
    }

    /// <summary>Levels of a window about an order, on the grid.</summary>
    private float[] Around(int window, int order, int half)
    {
        float[] row = _spectra.Level[window],
            around = new float[2 * half + 1];
        for (int i = 0; i < around.Length; i++)
        {
            double bin = order * _baseHz[window] * Math.Exp((i - half) * StepLog) / _spectra.ResolutionHz;
            int k = (int)bin;
            around[i] = k + 1 >= row.Length ? 0 : (float)(row[k] + (bin - k) * (row[k + 1] - row[k]));
        }

        return around;
    }

    private static double[] Pattern(float[][] levels, int[] path, int half, int reach)
    {
        double[] pattern = new double[2 * half + 1];
        for (int w = 0; w < levels.Length; w++)
        {
            for (int i = 0; i < pattern.Length; i++)
            {
                pattern[i] += levels[w][i + reach + path[w]] / (double)levels.Length;
            }
        }

        double mean = pattern.Average();
        return Array.ConvertAll(pattern, p => p - mean);
    }

    private int[] Best(float[][][] levels, double[][] patterns, int half, int reach)
    {
        int windows = _spectra.Windows,
            places = 2 * reach + 1;
        double[] best = new double[places],
            next = new double[places];
        int[][] from = new int[windows][];
        for (int w = 0; w < windows; w++)
        {
            from[w] = new int[places];
            double steps = w == 0 ? 1 : Math.Max(1, (_spectra.CentreS[w] - _spectra.CentreS[w - 1]) * _spectra.ResolutionHz * 2);
            for (int p = 0; p < places; p++)
            {
                (double before, from[w][p]) = w == 0 ? (0, p) : Before(best, p, steps);
                double says = 0;
                for (int k = 0; k < levels.Length; k++)
                {
                    says += _weights[k] * Dot(patterns[k], levels[k][w].AsSpan(p, patterns[k].Length));
                }

                next[p] = before + says;
            }

            (best, next) = (next, best);
        }

        int[] path = new int[windows];
        int at = Array.IndexOf(best, best.Max());
        for (int w = windows - 1; w >= 0; w--)
        {
            path[w] = at - reach;
            at = from[w][at];
        }

        return path;
    }

    private static (double Value, int From) Before(double[] best, int place, double steps)
    {
        double value = double.NegativeInfinity;
        int from = place;
        for (int q = 0; q < best.Length; q++)
        {
            double move = (q - place) * StepLog / UsualStep,
                cost = Math.Min(MostCost, move * move / 2 / steps);
            if (best[q] - cost > value)
            {
                (value, from) = (best[q] - cost, q);
            }
        }

        return (value, from);
    }

    private static double Dot(double[] pattern, ReadOnlySpan<float> levels)
    {
        double sum = 0;
        for (int i = 0; i < pattern.Length; i++)
        {
            sum += pattern[i] * levels[i];
        }

        return sum;
    }
}
