using VibeCheck.Core.Statistics;

namespace VibeCheck.Logs.Units;

/// <summary>The median of a long column, from a subset of its values.</summary>
internal static class ColumnMedian
{
    private const int Looked = 20_000;

    /// <summary>Median of fewer than 40,000 values, spread over the column, in their own unit; NaN is left out. 0 where no value is
    /// left.</summary>
    internal static double Of(double[] values)
    {
        int stride = Math.Max(1, values.Length / Looked);
        double[] some = new double[values.Length / stride + 1];
        int count = 0;
        for (int i = 0; i < values.Length; i += stride)
        {
            if (!double.IsNaN(values[i]))
            {
                some[count++] = values[i];
            }
        }

        Span<double> usable = some.AsSpan(0, count);
        return count == 0 ? 0 : (Selection.Take(usable, (count - 1) / 2) + Selection.Take(usable, count / 2)) / 2;
    }
}
