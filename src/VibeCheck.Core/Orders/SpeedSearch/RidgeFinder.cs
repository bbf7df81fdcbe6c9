using VibeCheck.Core.Signals;
using Tuning = VibeCheck.Core.Orders.SpeedSearch.SpeedSearchTuning.Lines;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>Finds the lines of rotors: where some motor's shape makes the vibration stand out at two orders or more.</summary>
internal static class RidgeFinder
{
    /// <summary>Mean rotor frequencies of the lines, the clearest first.</summary>
    internal static IReadOnlyList<Ridge> Find(IReadOnlyList<SpeedProfile> profiles, IReadOnlyList<int> orders)
    {
        double[] top = new double[profiles[0].Mean.Length];
        int[] whose = new int[top.Length];
        for (int m = 0; m < profiles.Count; m++)
        {
            for (int c = 0; c < top.Length; c++)
            {
                if (profiles[m].Mean[c] > top[c])
                {
                    (top[c], whose[c]) = (profiles[m].Mean[c], m);
                }
            }
        }

        List<Ridge> ridges = [];
        foreach ((int c, double prominence) in Peaks.Prominent(top, Tuning.LeastHeightPerOrder * orders.Count))
        {
            SpeedProfile profile = profiles[whose[c]];
            double hz = profile.Grid.HzOf(c);
            int seen = orders.Count(o => profile.LevelAt(o, hz) >= Tuning.SeenLevel);
            if (seen >= Tuning.LeastOrders && prominence > Tuning.LeastProminence * top[c])
            {
                ridges.Add(new(hz, top[c], prominence, seen));
            }
        }

        return [.. ridges.OrderByDescending(r => r.Level)];
    }
}

/// <summary>A line of a rotor.</summary>
/// <param name="Hz">Mean rotor frequency, Hz.</param>
/// <param name="Level">Sum over the orders of the mean logarithm of power over noise.</param>
/// <param name="Prominence">Height above the floor around it, in the same unit.</param>
/// <param name="Orders">How many orders are seen.</param>
internal sealed record Ridge(double Hz, double Level, double Prominence, int Orders);
