namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>How well each rotor frequency, taken as the mean of a shape, explains the vibration: over its orders the sum of the
/// logarithms of power over noise where they would lie, on an even grid of frequencies.</summary>
internal sealed class SpeedProfile
{
    private readonly WarpedSpectra _spectra;
    private readonly IReadOnlyList<int> _orders;

    internal SpeedProfile(WarpedSpectra spectra, IReadOnlyList<int> orders, SpeedGrid grid)
    {
        _spectra = spectra;
        _orders = orders;
        Grid = grid;
        Mean = new double[grid.Columns];
        for (int c = 0; c < Mean.Length; c++)
        {
            foreach (int order in orders)
            {
                Mean[c] += LevelAt(order, grid.HzOf(c));
            }
        }
    }

    internal SpeedGrid Grid { get; }

    /// <summary>Mean over the windows, a value a column.</summary>
    internal double[] Mean { get; }

    internal int Windows => _spectra.Windows;

    internal IReadOnlyList<double> CentreS => _spectra.CentreS;

    /// <summary>Mean over the windows at one order.</summary>
    internal double LevelAt(int order, double hz)
    {
        double bin = order * hz / _spectra.ResolutionHz;
        int k = (int)bin;
        double[] level = _spectra.MeanLevel;
        return k + 1 >= level.Length ? 0 : level[k] + (bin - k) * (level[k + 1] - level[k]);
    }

    /// <summary>Adds one window's values to a row of columns.</summary>
    internal void AddWindow(int window, Span<double> row)
    {
        float[] level = _spectra.Level[window];
        foreach (int order in _orders)
        {
            double bin = order * Grid.LowHz / _spectra.ResolutionHz,
                step = order * Grid.StepHz / _spectra.ResolutionHz;
            for (int c = 0; c < row.Length && bin < level.Length - 1; c++, bin += step)
            {
                int k = (int)bin;
                row[c] += level[k] + (bin - k) * (level[k + 1] - level[k]);
            }
        }
    }

    /// <summary>The value at one frequency in each window.</summary>
    internal double[] ByWindow(double hz)
    {
        double[] values = new double[Windows];
        for (int w = 0; w < values.Length; w++)
        {
            float[] level = _spectra.Level[w];
            foreach (int order in _orders)
            {
                double bin = order * hz / _spectra.ResolutionHz;
                int k = (int)bin;
                values[w] += k + 1 >= level.Length ? 0 : level[k] + (bin - k) * (level[k + 1] - level[k]);
            }
        }

        return values;
    }

    /// <summary>The column of the highest mean within a reach of a frequency.</summary>
    internal int BestNear(double hz, double reachHz)
    {
        int from = Grid.ColumnOf(hz - reachHz),
            to = Grid.ColumnOf(hz + reachHz),
            best = Grid.ColumnOf(hz);
        for (int c = from; c <= to; c++)
        {
            best = Mean[c] > Mean[best] ? c : best;
        }

        return best;
    }
}

/// <summary>An even grid of rotor frequencies.</summary>
/// <param name="LowHz">The first, Hz.</param>
/// <param name="StepHz">Their spacing, Hz.</param>
/// <param name="Columns">How many.</param>
internal readonly record struct SpeedGrid(double LowHz, double StepHz, int Columns)
{
    internal double HzOf(double column) => LowHz + column * StepHz;

    internal int ColumnOf(double hz) => Math.Clamp((int)Math.Round((hz - LowHz) / StepHz), 0, Columns - 1);
}
