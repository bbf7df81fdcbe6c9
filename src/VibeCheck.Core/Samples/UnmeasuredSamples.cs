namespace VibeCheck.Core.Samples;

/// <summary>Finds cells of an IMU that hold something other than a measured value, and marks them as unknown (NaN).</summary>
public sealed class UnmeasuredSamples
{
    private UnmeasuredSamples() { }

    /// <summary>Number of acceleration cells that held a filler.</summary>
    public int Fillers { get; private set; }

    /// <summary>The most frequent filler; null for none.</summary>
    public double? Filler { get; private set; }

    /// <summary>Number of acceleration cells that were spikes.</summary>
    public int Spikes { get; private set; }

    /// <summary>Number of rows that repeated the previous one.</summary>
    public int RepeatedRows { get; private set; }

    /// <summary>Number of rows on a line between their neighbours.</summary>
    public int StraightRows { get; private set; }

    /// <summary>Number of acceleration cells that repeated the previous one in their own column.</summary>
    public int HeldCells { get; private set; }

    /// <summary>Share of each acceleration axis at the ends of its range, 0 to 1.</summary>
    public double[] ClippedShares { get; } = [0, 0, 0];

    /// <summary>Step in which each acceleration axis was written, in its unit; 0 for a constant axis.</summary>
    public double[] Steps { get; } = [0, 0, 0];

    /// <summary>Longest standstill of each acceleration axis, in samples, and its first sample.</summary>
    public (int Samples, int From)[] Standstills { get; } = [default, default, default];

    /// <summary>Number of samples of each acceleration axis that are part of a standstill.</summary>
    public int[] StandstillSamples { get; } = [0, 0, 0];

    /// <summary>Whether each acceleration axis is constant.</summary>
    public bool[] Dead { get; } = [false, false, false];

    /// <summary>Two acceleration axes that hold the same numbers, apart from the sign; null for none.</summary>
    public (int One, int Other)? Copies { get; private set; }

    /// <summary>Examines the columns of an IMU and marks what was not measured.</summary>
    /// <param name="acceleration">Three axes, row by row; NaN where a cell is empty. Changed.</param>
    /// <param name="rates">Three axes or null. Changed.</param>
    /// <param name="rateHz">Approximate number of samples per second.</param>
    public static UnmeasuredSamples Mark(double[][] acceleration, double[][]? rates, double rateHz)
    {
        ArgumentNullException.ThrowIfNull(acceleration);
        UnmeasuredSamples found = new() { Copies = CopiesIn(acceleration) };
        double[][] columns = [.. acceleration, .. rates ?? []];
        ColumnSteps[] steps = [.. columns.Select(c => new ColumnSteps(c))];
        RepeatedValues[] piles = [.. acceleration.Select((a, i) => new RepeatedValues(a, steps[i]))];
        (found.RepeatedRows, found.StraightRows) = HeldSearch.MarkRows(columns, steps);
        for (int axis = 0; axis < 3; axis++)
        {
            double[] values = acceleration[axis];
            found.Steps[axis] = steps[axis].Quantum;
            found.Dead[axis] = !(steps[axis].Typical > 0);
            if (found.Dead[axis])
            {
                continue;
            }

            found.ClippedShares[axis] = Clipped(values, piles[axis], steps[axis]);
            (int held, int longest, int from) = HeldSearch.MarkRuns(values, steps[axis], piles[axis]);
            found.HeldCells += held;
            found.Standstills[axis] = (longest, from);
            found.StandstillSamples[axis] = held;
            found.TakeFillers(values, piles[axis], steps[axis]);
            found.Spikes += SpikeSearch.Mark(values, steps[axis], rateHz);
        }

        return found;
    }

    private void TakeFillers(double[] values, RepeatedValues piles, ColumnSteps steps)
    {
        foreach (double filler in piles.Fillers)
        {
            int count = 0;
            for (int i = 0; i < values.Length; i++)
            {
                if (values[i] == filler && steps.IsMoving(i))
                {
                    values[i] = double.NaN;
                    count++;
                }
            }

            Filler = count > Fillers ? filler : Filler;
            Fillers += count;
        }
    }

    private static double Clipped(double[] values, RepeatedValues piles, ColumnSteps steps)
    {
        if (piles.UpperEnd is null && piles.LowerEnd is null)
        {
            return 0;
        }

        int count = 0,
            moving = 0;
        for (int i = 0; i < values.Length; i++)
        {
            if (steps.IsMoving(i))
            {
                moving++;
                count += values[i] >= piles.UpperEnd || values[i] <= piles.LowerEnd ? 1 : 0;
            }
        }

        return (double)count / Math.Max(1, moving);
    }

    private static (int, int)? CopiesIn(double[][] acceleration)
    {
        for (int a = 0; a < 3; a++)
        {
            for (int b = a + 1; b < 3; b++)
            {
                if (AreCopies(acceleration[a], acceleration[b]))
                {
                    return (a, b);
                }
            }
        }

        return null;
    }

    private static bool AreCopies(double[] one, double[] other)
    {
        // A few agree by chance: almost all must agree, and they must change.
        int differ = 0,
            most = one.Length / 20;
        double least = double.PositiveInfinity,
            greatest = double.NegativeInfinity;
        for (int i = 0; i < one.Length && differ <= most; i++)
        {
            differ += Math.Abs(one[i]) == Math.Abs(other[i]) ? 0 : 1;
            (least, greatest) = (Math.Min(least, one[i]), Math.Max(greatest, one[i]));
        }

        return differ <= most && greatest > least;
    }
}
