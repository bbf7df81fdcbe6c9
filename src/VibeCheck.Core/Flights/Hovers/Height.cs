using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Hovers;

/// <summary>Uses the height to recognise a hover.</summary>
internal static class Height
{
    private const double FastestMps = 0.25;
    private const double LeastM = 0.15;
    private const double LeastShare = 0.6;
    private const double ShareUpToM = 2;

    /// <summary>Where the aircraft is well above the ground and neither climbs nor descends; null without a height.</summary>
    /// <remarks>Above the ground means above six tenths of its usual height, or above 2 m where that is lower (no ground effect).</remarks>
    internal static bool[]? IsSteady(HoverGrid grid, bool[] flying)
    {
        double[] known = grid.HeightM is null ? [] : [.. grid.HeightM.Where(double.IsFinite)];
        if (grid.HeightM is not { } logged || known.Length == 0)
        {
            return null;
        }

        double ground = Robust.Quantile(known, 0.02);
        double[] inFlight = Robust.Where(logged, flying);
        double usual = (inFlight.Length == 0 ? ground : Robust.MedianAndMad(inFlight).Median) - ground;

        // A height that is almost constant was logged wrongly, or the aircraft was held: it gives no information.
        if (usual < LeastM)
        {
            return null;
        }

        double limit = ground + Math.Max(LeastM, LeastShare * Math.Min(usual, ShareUpToM / LeastShare));
        int half = (int)(0.5 / HoverGrid.CellS);
        double[] smooth = Robust.Smoothed(logged, 2);
        bool[] steady = new bool[smooth.Length];
        for (int cell = 0; cell < steady.Length; cell++)
        {
            int from = Math.Max(0, cell - half),
                to = Math.Min(steady.Length - 1, cell + half);
            double climbMps = (smooth[to] - smooth[from]) / Math.Max((to - from) * HoverGrid.CellS, HoverGrid.CellS);
            steady[cell] = double.IsNaN(climbMps) || (smooth[cell] >= limit && Math.Abs(climbMps) <= FastestMps);
        }

        return steady;
    }
}
