using Tuning = VibeCheck.Core.Orders.SpeedSearch.SpeedSearchTuning.Grid;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>What is searched and how finely: segments of vibration, orders, window and grid of rotor frequencies.</summary>
/// <param name="Segments">The vibration.</param>
/// <param name="Orders">Orders that the log can contain.</param>
/// <param name="WindowS">Length of the windows, s.</param>
/// <param name="Grid">Rotor frequencies looked at.</param>
internal sealed record SearchGrid(IReadOnlyList<SearchSegment> Segments, IReadOnlyList<int> Orders, double WindowS, SpeedGrid Grid)
{
    private double TopHz => Orders.Max() * Grid.HzOf(Grid.Columns);

    /// <summary>For rotors near a frequency; null when the log cannot contain two of their orders.</summary>
    internal static SearchGrid? Near(double hz, int blades, double rateHz, IReadOnlyList<SearchSegment> segments)
    {
        int[] orders =
        [
            .. new[] { 1, 2, 3, blades, 2 * blades }
                .Distinct()
                .Order()
                .Where(o => o * hz * Tuning.OrderMargin < Tuning.HighestShareOfRate * rateHz),
        ];
        if (orders.Length < 2)
        {
            return null;
        }

        IReadOnlyList<SearchSegment> thin = [.. segments.Select(h => h.Thinned(orders[^1] * hz * Tuning.HighShare))];
        double periodS = thin[0].PeriodS,
            wantedS = Math.Clamp(Tuning.TurnsPerWindow / hz, Tuning.ShortestWindowS, Tuning.LongestWindowS);
        double windowS = periodS * Math.Pow(2, Math.Round(Math.Log2(wantedS / periodS)));
        double step = 1 / (Tuning.ColumnsPerBin * windowS);
        return new(thin, orders, windowS, new(Tuning.LowShare * hz, step, (int)((Tuning.HighShare - Tuning.LowShare) * hz / step)));
    }

    /// <summary>The same on the first part of the longest segment.</summary>
    internal SearchGrid Brief(double seconds) => this with { Segments = [Segments.MaxBy(h => h.Seconds)!.Head(seconds)] };

    internal IReadOnlyList<SpeedProfile> Profiles(IReadOnlyList<SpeedShape> shapes)
    {
        var profiles = new SpeedProfile[shapes.Count];
        Parallel.For(0, shapes.Count, m => profiles[m] = new(WarpedSpectra.Of(Segments, shapes[m], WindowS, TopHz), Orders, Grid));
        return profiles;
    }

    /// <summary>Windows twice as long, and again, as long as the lines gain by it most of what steady ones would.</summary>
    internal (SearchGrid Grid, IReadOnlyList<SpeedProfile> Profiles) AsLongAsPays(
        IReadOnlyList<SpeedShape> shapes,
        IReadOnlyList<SpeedProfile> profiles
    )
    {
        SearchGrid best = this;
        while (true)
        {
            SpeedGrid grid = best.Grid;
            SearchGrid twice = best with { WindowS = 2 * best.WindowS, Grid = new(grid.LowHz, grid.StepHz / 2, 2 * grid.Columns) };
            if (Segments.Sum(s => Math.Floor(s.Seconds / best.WindowS - 1)) < Tuning.LeastWindows)
            {
                return (best, profiles);
            }

            IReadOnlyList<SpeedProfile> longer = twice.Profiles(shapes);
            double gain = longer.Average(p => p.Mean.Max()) - profiles.Average(p => p.Mean.Max());
            if (longer.Min(p => p.Windows) < Tuning.LeastWindows || gain < Tuning.LeastGain * Orders.Count)
            {
                return (best, profiles);
            }

            (best, profiles) = (twice, longer);
        }
    }
}
