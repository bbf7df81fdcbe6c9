namespace VibeCheck.Core.Samples;

/// <summary>Finds samples that repeat the previous one, or are on a line between their neighbours, where chance makes that almost
/// impossible: they were written, not measured.</summary>
internal static class HeldSearch
{
    // A run of repeats within a chunk may be natural if its probability is at least this.
    private const double LeastChance = 1e-4;

    private const double LeastLinesShare = 1e-3;

    /// <summary>Marks repeats within one column as unknown, if the run is too long for chance; the ends of the range are kept.</summary>
    /// <returns>Number of marked samples, and the longest run of them with its first sample.</returns>
    internal static (int Marked, int Longest, int LongestFrom) MarkRuns(double[] values, ColumnSteps steps, RepeatedValues piles)
    {
        int marked = 0,
            longest = 0,
            longestFrom = 0;
        for (int first = 0; first < values.Length; )
        {
            int end = first + 1;
            while (end < values.Length && values[end] == values[first])
            {
                end++;
            }

            int repeats = end - first - 1;
            if (
                repeats > 0
                && values[first] != piles.UpperEnd
                && values[first] != piles.LowerEnd
                && IsNoChance(repeats, steps.ChanceOfRepeat(first))
            )
            {
                values.AsSpan(first + 1, repeats).Fill(double.NaN);
                marked += repeats;
                (longest, longestFrom) = repeats > longest ? (repeats, first) : (longest, longestFrom);
            }

            first = end;
        }

        return (marked, longest, longestFrom);
    }

    private static bool IsNoChance(int repeats, double chance) =>
        chance < 0.5 && repeats * Math.Log(Math.Max(chance, 1e-12)) < Math.Log(LeastChance / ColumnSteps.ChunkSamples);

    /// <summary>Marks rows as unknown that repeat the previous row in all columns, or are on a line between their neighbours in all
    /// columns.</summary>
    /// <returns>Number of rows that repeat, and number of rows on lines.</returns>
    internal static (int Repeats, int Straight) MarkRows(double[][] columns, ColumnSteps[] steps)
    {
        int n = columns[0].Length;
        double[] x = columns[0];
        List<int> repeats = [],
            straight = [];
        double width = 2.01 * steps[0].Quantum;
        for (int i = 1; i < n; i++)
        {
            if (x[i] == x[i - 1])
            {
                if (Repeats(columns, i) && IsRare(steps, s => s.ChanceOfRepeat(i)))
                {
                    repeats.Add(i);
                }
            }
            else if (
                i + 1 < n
                && Math.Abs(2 * ColumnSteps.Bend(x, i)) <= width
                && IsStraight(columns, steps, i)
                && IsRare(steps, s => s.ChanceOfStraight(i))
            )
            {
                straight.Add(i);
            }
        }

        // A few lines may be chance in the calm parts of a flight; a recorder that interpolates does so all the time.
        if (straight.Count < LeastLinesShare * n)
        {
            straight.Clear();
        }

        foreach (double[] column in columns)
        {
            repeats.ForEach(i => column[i] = double.NaN);
            straight.ForEach(i => column[i] = double.NaN);
        }

        return (repeats.Count, straight.Count);
    }

    private static bool Repeats(double[][] columns, int i)
    {
        foreach (double[] column in columns)
        {
            if (column[i] != column[i - 1])
            {
                return false;
            }
        }

        return true;
    }

    private static bool IsStraight(double[][] columns, ColumnSteps[] steps, int i)
    {
        for (int c = 0; c < columns.Length; c++)
        {
            if (!(Math.Abs(2 * ColumnSteps.Bend(columns[c], i)) <= 2.01 * steps[c].Quantum))
            {
                return false;
            }
        }

        return true;
    }

    private static bool IsRare(ColumnSteps[] steps, Func<ColumnSteps, double> chance)
    {
        double all = 1;
        foreach (ColumnSteps of in steps)
        {
            all *= chance(of);
        }

        return all < LeastChance / ColumnSteps.ChunkSamples;
    }
}
