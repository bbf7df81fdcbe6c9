namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>
/// The curves of one body with a given time constant in every cell: its response to the load, the decay of its start, and the change for a
/// telemetry lag of one second.
/// </summary>
internal sealed class HeatingCurves
{
    private readonly bool[] _used;

    private HeatingCurves(bool[] used)
    {
        _used = used;
        (Heat, Start, Lag) = (new double[used.Length], new double[used.Length], new double[used.Length]);
    }

    /// <summary>Exact first-order response to the load, which is constant within each cell; 1 where it has settled at hover load.</summary>
    internal double[] Heat { get; }

    /// <summary>1 at the first reading, decaying.</summary>
    internal double[] Start { get; }

    /// <summary>Derivative of <see cref="Heat"/> with respect to time, 1/s.</summary>
    internal double[] Lag { get; }

    internal static HeatingCurves Of(HeatingCells cells, double tauS)
    {
        HeatingCurves curves = new(cells.Used);
        double whole = Math.Exp(-cells.CellS / tauS),
            half = Math.Exp(-cells.CellS / 2 / tauS),
            felt = 0;
        for (int i = 0; i < cells.Used.Length; i++)
        {
            double load = cells.Loads[i];
            curves.Heat[i] = felt * half + load * (1 - half);
            curves.Start[i] = i == 0 ? half : curves.Start[i - 1] * whole;
            curves.Lag[i] = (load - curves.Heat[i]) / tauS;
            felt = felt * whole + load * (1 - whole);
        }

        return curves;
    }

    /// <summary>Sum of the products of two curves over the cells that have a reading.</summary>
    internal double Sum(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        double sum = 0;
        for (int i = 0; i < _used.Length; i++)
        {
            sum += _used[i] ? a[i] * b[i] : 0;
        }

        return sum;
    }
}
