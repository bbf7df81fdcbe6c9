namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>What is listened to and how finely: stretches of vibration, orders, window and grid of rotor frequencies.</summary>
/// <param name="Stretches">The vibration.</param>
/// <param name="Orders">Orders that the log can hold.</param>
/// <param name="WindowS">Length of the windows, s.</param>
/// <param name="Grid">Rotor frequencies looked at.</param>
internal sealed record SearchGrid(IReadOnlyList<SearchSegment> Stretches, IReadOnlyList<int> Orders, double WindowS, SpeedGrid Grid)
{
    private const double TurnsPerWindow = 260;
    private const double ShortestWindowS = 1;
    private const double LongestWindowS = 5;
    private const double LowShare = 0.8;
    private const double HighShare = 1.25;

    // A column is a sixteenth of the width of order 1: a quarter of that of order 4.
    private const int ColumnsPerBin = 16;

    private const double HighestShareOfRate = 0.48;
    private const int LeastWindows = 8;

    // Steady lines gain a natural logarithm of 2 at each order when the window doubles; this share of it pays.
    private const double LeastGain = 0.4 * 0.69314718055994531;

    private double TopHz => Orders.Max() * Grid.HzOf(Grid.Columns);

    /// <summary>For rotors near a frequency; null when the log cannot hold two of their orders.</summary>
    internal static SearchGrid? Near(double hz, int blades, double rateHz, IReadOnlyList<SearchSegment> heard)
    {
        int[] orders = [.. new[] { 1, 2, 3, blades, 2 * blades }.Distinct().Order().Where(o => o * hz * 1.05 < HighestShareOfRate * rateHz)];
        if (orders.Length < 2)
        {
            return null;
        }

        IReadOnlyList<SearchSegment> thin = [.. heard.Select(h => h.Thinned(orders[^1] * hz * HighShare))];
        double periodS = thin[0].PeriodS, wantedS = Math.Clamp(TurnsPerWindow / hz, ShortestWindowS, LongestWindowS);
        double windowS = periodS * Math.Pow(2, Math.Round(Math.Log2(wantedS / periodS)));
        double step = 1 / (ColumnsPerBin * windowS);
        return new(thin, orders, windowS, new(LowShare * hz, step, (int)((HighShare - LowShare) * hz / step)));
    }

    /// <summary>The same on the first part of the longest stretch.</summary>
    internal SearchGrid Brief(double seconds) => this with { Stretches = [Stretches.MaxBy(h => h.Seconds)!.Head(seconds)] };

    internal IReadOnlyList<SpeedProfile> Profiles(IReadOnlyList<SpeedShape> shapes)
    {
        var profiles = new SpeedProfile[shapes.Count];
        Parallel.For(0, shapes.Count, m => profiles[m] = new(WarpedSpectra.Of(Stretches, shapes[m], WindowS, TopHz), Orders, Grid));
        return profiles;
    }

    /// <summary>Windows twice as long, and again, as long as the lines gain by it most of what steady ones would.</summary>
    internal (SearchGrid Post, IReadOnlyList<SpeedProfile> Profiles) AsLongAsPays(IReadOnlyList<SpeedShape> shapes, IReadOnlyList<SpeedProfile> profiles)
    {
        SearchGrid post = this;
        while (true)
        {
            SpeedGrid grid = post.Grid;
            SearchGrid twice = post with { WindowS = 2 * post.WindowS, Grid = new(grid.LowHz, grid.StepHz / 2, 2 * grid.Columns) };
            if (Stretches.Sum(s => Math.Floor(s.Seconds / post.WindowS - 1)) < LeastWindows)
            {
                return (post, profiles);
            }

            IReadOnlyList<SpeedProfile> longer = twice.Profiles(shapes);
            double gain = longer.Average(p => p.Mean.Max()) - profiles.Average(p => p.Mean.Max());
            if (longer.Min(p => p.Windows) < LeastWindows || gain < LeastGain * Orders.Count)
            {
                return (post, profiles);
            }

            (post, profiles) = (twice, longer);
        }
    }
}
