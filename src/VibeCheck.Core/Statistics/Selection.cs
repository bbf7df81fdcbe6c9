namespace VibeCheck.Core.Statistics;

/// <summary>Order statistics without sorting (Hoare, CACM 4, 1961, Find).</summary>
/// <remarks>The framework's sort for doubles is not compiled ahead; in a process that reads
/// one job it would mostly run unoptimised.</remarks>
public static class Selection
{
    /// <summary>The value that would stand at <paramref name="rank"/> if the values were sorted; reorders them.</summary>
    /// <param name="values">One or more, none of them NaN. Left with nothing larger before the rank and nothing smaller behind it.</param>
    /// <param name="rank">From 0, below the number of values.</param>
    public static double Take(Span<double> values, int rank)
    {
        int left = 0,
            right = values.Length - 1;
        while (left < right)
        {
            double pivot = MedianOfThree(values[left], values[left + (right - left) / 2], values[right]);
            int i = left,
                j = right;
            while (i <= j)
            {
                while (values[i] < pivot)
                {
                    i++;
                }

                while (pivot < values[j])
                {
                    j--;
                }

                if (i <= j)
                {
                    (values[i], values[j]) = (values[j], values[i]);
                    i++;
                    j--;
                }
            }

            if (j < rank)
            {
                left = i;
            }

            if (rank < i)
            {
                right = j;
            }
        }

        return values[rank];
    }

    /// <summary>The median of five values; none of them NaN.</summary>
    /// <param name="v">Five values; left as they are.</param>
    public static double MedianOfFive(ReadOnlySpan<double> v) =>
        MedianOfThree(Math.Max(Math.Min(v[0], v[1]), Math.Min(v[2], v[3])), Math.Min(Math.Max(v[0], v[1]), Math.Max(v[2], v[3])), v[4]);

    private static double MedianOfThree(double a, double b, double c) => Math.Max(Math.Min(a, b), Math.Min(Math.Max(a, b), c));
}
