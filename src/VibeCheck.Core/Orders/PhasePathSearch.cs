using Tuning = VibeCheck.Core.Orders.OrderTuning.CycleSlips;

namespace VibeCheck.Core.Orders;

/// <summary>Joins phase tracks of all rotors into the one that leaves least: from one to another where all rotors agree but for whole
/// turns.</summary>
/// <remarks>Shortest path over boxes of time (A. Viterbi, IEEE Trans. Inf. Theory 13, 1967; from memory).</remarks>
internal static class PhasePathSearch
{
    /// <summary>The best joined track, what was added to each rotor's reported angle, rad, [rotor][sample]; null when that is the
    /// first of them all along.</summary>
    /// <param name="tracks">[track][rotor][sample].</param>
    /// <param name="misfits">What each leaves, [track][box].</param>
    /// <param name="box">Envelope samples in a box.</param>
    internal static double[][]? Best(double[][][] tracks, double[][] misfits, int box)
    {
        int boxes = misfits[0].Length,
            count = tracks.Length;
        double[] cost = [.. misfits.Select(m => m[0])];
        int[][] from = new int[boxes][];
        for (int k = 1; k < boxes; k++)
        {
            double[] next = new double[count];
            from[k] = new int[count];
            for (int t = 0; t < count; t++)
            {
                int best = t;
                for (int s = 0; s < count; s++)
                {
                    double stays = cost[best] + (best == t ? 0 : Tuning.TransitionCost);
                    if (s != t && cost[s] + Tuning.TransitionCost < stays && Agree(tracks[s], tracks[t], k * box))
                    {
                        best = s;
                    }
                }

                from[k][t] = best;
                next[t] = cost[best] + (best == t ? 0 : Tuning.TransitionCost) + misfits[t][k];
            }

            cost = next;
        }

        int[] path = new int[boxes];
        path[^1] = Array.IndexOf(cost, cost.Min());
        for (int k = boxes - 1; k > 0; k--)
        {
            path[k - 1] = from[k][path[k]];
        }

        return Array.TrueForAll(path, t => t == 0)
            ? null
            : [.. Enumerable.Range(0, tracks[0].Length).Select(rotor => Join([.. tracks.Select(t => t[rotor])], path, box))];
    }

    private static bool Agree(double[][] one, double[][] other, int sample)
    {
        for (int rotor = 0; rotor < one.Length; rotor++)
        {
            if (Math.Abs(Math.IEEERemainder(one[rotor][sample] - other[rotor][sample], Math.Tau)) > Tuning.MostApart)
            {
                return false;
            }
        }

        return true;
    }

    private static double[] Join(double[][] tracks, int[] path, int box)
    {
        double[] joined = new double[tracks[0].Length];
        double turns = 0;
        for (int b = 0; b < joined.Length; b++)
        {
            int k = Math.Min(b / box, path.Length - 1);
            if (b == k * box && k > 0 && path[k] != path[k - 1])
            {
                turns += Math.Tau * Math.Round((tracks[path[k - 1]][b] + turns - tracks[path[k]][b] - turns) / Math.Tau);
            }

            joined[b] = tracks[path[k]][b] + turns;
        }

        return joined;
    }
}
