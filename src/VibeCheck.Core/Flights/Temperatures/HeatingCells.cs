using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>Temperature above ambient and load on one even grid of cells; cells without a reading have no weight.</summary>
internal sealed class HeatingCells
{
    /// <summary>This number of cells is sufficient for time constants of ten seconds and more, and limits the cost of long
    /// flights.</summary>
    private const int MostCells = 240;

    internal HeatingCells(double startS, double cellS, double[] loads, double[] risesC, bool[] used)
    {
        (StartS, CellS, Loads, RisesC, Used) = (startS, cellS, loads, risesC, used);
        UsedCount = used.Count(u => u);
    }

    internal double StartS { get; }

    internal double CellS { get; }

    /// <summary>Mean load in each cell, relative to hover.</summary>
    internal double[] Loads { get; }

    /// <summary>Mean reading above ambient in each cell, °C.</summary>
    internal double[] RisesC { get; }

    /// <summary>Whether a temperature was read in the cell.</summary>
    internal bool[] Used { get; }

    internal int UsedCount { get; }

    internal static HeatingCells Of(Series tempC, Series load, double ambientC)
    {
        double startS = tempC.TimeS[0],
            spanS = tempC.TimeS[^1] - startS;
        double cellS = Math.Max(1, spanS / MostCells);
        int count = (int)(spanS / cellS) + 1;
        (double[] temps, bool[] used) = Means(tempC, startS, cellS, count);
        (double[] loads, bool[] loaded) = Means(load, startS, cellS, count);
        for (int i = 0; i < count; i++)
        {
            temps[i] -= ambientC;
            if (!loaded[i])
            {
                loads[i] = load.At(startS + (i + 0.5) * cellS);
            }
        }

        return new(startS, cellS, loads, temps, used);
    }

    private static (double[] Means, bool[] Any) Means(Series series, double startS, double cellS, int count)
    {
        double[] sums = new double[count];
        int[] readings = new int[count];
        for (int i = 0; i < series.Count; i++)
        {
            int cell = (int)Math.Floor((series.TimeS[i] - startS) / cellS);
            if (cell >= 0 && cell < count)
            {
                sums[cell] += series.Values[i];
                readings[cell]++;
            }
        }

        bool[] any = new bool[count];
        for (int i = 0; i < count; i++)
        {
            any[i] = readings[i] > 0;
            sums[i] /= Math.Max(1, readings[i]);
        }

        return (sums, any);
    }
}
