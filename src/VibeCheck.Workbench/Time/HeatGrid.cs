namespace VibeCheck.Workbench.Time;

/// <summary>Densities as one byte each, which the page draws and shows under the pointer: column by column, each from the lowest row
/// up.</summary>
/// <param name="Columns">Columns.</param>
/// <param name="Rows">Rows.</param>
/// <param name="Levels">0 where nothing was measured, else 1 + twice the decibels above <see cref="FloorDb"/>.</param>
internal sealed record HeatGrid(int Columns, int Rows, byte[] Levels)
{
    /// <summary>Lowest level that is kept, dB re 1 (m/s²)²/Hz. Lower levels, and levels more than 127 dB above it, are clipped.</summary>
    internal const double FloorDb = -90;

    private const double StepsPerDb = 2;

    /// <summary>Sorts densities into a grid; the largest density of a cell counts, so that no line is lost.</summary>
    /// <param name="places">Place of each column of densities, from 0 to below 1; columns outside are left out.</param>
    /// <param name="density">Density of a column at a bin, (m/s²)²/Hz.</param>
    /// <param name="bins">Bins to show, from bin 1.</param>
    /// <param name="mostColumns">Most columns of the grid.</param>
    /// <param name="mostRows">Most rows of the grid.</param>
    internal static HeatGrid Of(IReadOnlyList<double> places, Func<int, int, double> density, int bins, int mostColumns, int mostRows)
    {
        int columns = Math.Clamp(places.Count, 1, mostColumns),
            rows = Math.Clamp(bins, 1, mostRows);
        byte[] levels = new byte[columns * rows];
        for (int w = 0; w < places.Count; w++)
        {
            int column = (int)Math.Floor(places[w] * columns);
            if (column < 0 || column >= columns)
            {
                continue;
            }

            for (int k = 1; k <= bins; k++)
            {
                int at = column * rows + Math.Min(rows - 1, (int)((k - 0.5) / bins * rows));
                levels[at] = Math.Max(levels[at], Level(density(w, k)));
            }
        }

        return new(columns, rows, levels);
    }

    private static byte Level(double density) =>
        density > 0 ? (byte)Math.Clamp(Math.Round(1 + StepsPerDb * (10 * Math.Log10(density) - FloorDb)), 1, 255) : (byte)1;
}
