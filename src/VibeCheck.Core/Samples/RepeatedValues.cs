namespace VibeCheck.Core.Samples;

/// <summary>Values that a column holds far more often than those beside them: fillers, and the ends of a range that clips.</summary>
internal sealed class RepeatedValues
{
    // A sample of the column is sorted; so many equal values in it, or more, are looked at.
    private const int Looked = 4096,
        LeastEqual = 4;

    // Values on either side that tell how dense values are there; at least twice as many as there are equal ones.
    private const int Neighbours = 40;

    private const double Excess = 6;

    // In deviations: farther from all others than that is no end of a range.
    private const double Apart = 1.5;

    // Share of values beyond an end of the range: none but spikes and fillers.
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

    /// <summary>Values that stand in for others; empty for none.</summary>
    internal IReadOnlyList<double> Fillers => _fillers;

    /// <summary>Upper end of the range where values pile up; null where they do not.</summary>
    internal double? UpperEnd { get; private set; }

    /// <summary>Lower end.</summary>
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

    /// <summary>Values from all over the flight, but for where the column hardly moves.</summary>
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
