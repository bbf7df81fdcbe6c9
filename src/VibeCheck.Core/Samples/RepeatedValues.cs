namespace VibeCheck.Core.Samples;

/// <summary>Finds values that a column holds far more often than nearby values: fillers, and the ends of a range where values
/// clip.</summary>
internal sealed class RepeatedValues
{
    // This many samples of the column are sorted. A value is checked when it occurs at least this often among them.
    private const int Looked = 4096,
        LeastEqual = 4;

    // Number of values on either side from which the local density is estimated; at least twice the number of equal ones.
    private const int Neighbours = 40;

    private const double Excess = 6;

    // In standard deviations: a value further than this from all others is no end of a range.
    private const double Apart = 1.5;

    // Largest share of values beyond an end of the range: only spikes and fillers are there.
    private const double BeyondShare = 0.004;

    private readonly List<double> _fillers = [];

    internal RepeatedValues(double[] values, ColumnSteps steps)
    {
        double[] some = Some(values, steps);
        Array.Sort(some);
        double quantum = steps.Quantum,
            deviation = some.Length < 100 ? 0 : (some[some.Length * 3 / 4] - some[some.Length / 4]) / 1.349;
        if (!(quantum > 0) || !(deviation > 0))
        {
            return;
        }

        for (int low = 0; low < some.Length; )
        {
            int high = low;
            while (high + 1 < some.Length && some[high + 1] == some[low])
            {
                high++;
            }

            if (high - low + 1 >= LeastEqual)
            {
                Judge(some, low, high, quantum, deviation);
            }

            low = high + 1;
        }
    }

    /// <summary>Values that replace missing ones; empty for none.</summary>
    internal IReadOnlyList<double> Fillers => _fillers;

    /// <summary>Upper end of the range where values accumulate; null where they do not.</summary>
    internal double? UpperEnd { get; private set; }

    /// <summary>The same for the lower end.</summary>
    internal double? LowerEnd { get; private set; }

    private void Judge(double[] some, int low, int high, double quantum, double deviation)
    {
        int count = high - low + 1,
            reach = Math.Max(Neighbours, 2 * count),
            from = Math.Max(0, low - reach),
            to = Math.Min(some.Length - 1, high + reach);
        double around = Math.Max(some[to] - some[from], quantum),
            usual = (to - from + 1 - count) * quantum / around;
        if (count < LeastEqual + Excess * (usual + Math.Sqrt(usual)))
        {
            return;
        }

        double below = low == 0 ? double.PositiveInfinity : some[low] - some[low - 1],
            above = high == some.Length - 1 ? double.PositiveInfinity : some[high + 1] - some[high];
        int beyond = (int)(BeyondShare * some.Length);
        if (some.Length - 1 - high <= beyond && below < Apart * deviation)
        {
            UpperEnd ??= some[low];
        }
        else if (low <= beyond && above < Apart * deviation)
        {
            LowerEnd ??= some[low];
        }
        else
        {
            _fillers.Add(some[low]);
        }
    }

    /// <summary>Values from the whole flight, except where the column is almost constant.</summary>
    private static double[] Some(double[] values, ColumnSteps steps)
    {
        int stride = Math.Max(1, values.Length / Looked);
        var some = new List<double>(Looked + 1);
        for (int i = 0; i < values.Length; i += stride)
        {
            if (!double.IsNaN(values[i]) && steps.IsMoving(i))
            {
                some.Add(values[i]);
            }
        }

        return [.. some];
    }
}
