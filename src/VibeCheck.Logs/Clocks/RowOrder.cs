namespace VibeCheck.Logs.Clocks;

/// <summary>Finds rows that are out of order in the file, where their time stamps show the right order: once sorted, the stamps lie on an
/// even grid.</summary>
internal static class RowOrder
{
    private const int LeastRows = 100;

    // A stamp is off the grid when it is further from it than this, in grid steps.
    private const double Near = 0.25;

    // Sorting is accepted when it corrects at least this many rows for each stamp that it moves off the grid. Otherwise the clock jumped,
    // and the rows are already in the order in which they were taken.
    private const int MovedPerBad = 10;

    /// <summary>Row numbers in the order of their stamps; null where rows are in order, or their stamps do not show it.</summary>
    /// <param name="timeS">Raw stamps, s, in file order.</param>
    /// <param name="areAlike">Whether two rows hold the same values, so that one is a copy.</param>
    internal static int[]? Find(double[] timeS, Func<int, int, bool> areAlike)
    {
        int falls = 0;
        for (int i = 1; i < timeS.Length; i++)
        {
            falls += timeS[i] < timeS[i - 1] ? 1 : 0;
        }

        if (falls == 0 || timeS.Length < LeastRows || Array.Exists(timeS, t => !double.IsFinite(t)))
        {
            return null;
        }

        int[] order = [.. Enumerable.Range(0, timeS.Length)];
        double[] sorted = [.. timeS];
        Array.Sort(sorted, order);
        return IsBetter(timeS, sorted, order, falls, areAlike) ? order : null;
    }

    private static bool IsBetter(double[] timeS, double[] sorted, int[] order, int falls, Func<int, int, bool> areAlike)
    {
        double step = StampCleaner.UsualStep(sorted),
            longest = 0;
        if (!(step > 0))
        {
            return false;
        }

        int offBefore = 0,
            offNow = 0,
            differing = 0,
            same = 0;
        double longestNow = 0;
        for (int i = 1; i < sorted.Length; i++)
        {
            double before = timeS[i] - timeS[i - 1],
                now = sorted[i] - sorted[i - 1];
            if (before > 0)
            {
                offBefore += IsOff(before, step) ? 1 : 0;
                longest = Math.Max(longest, before);
            }

            if (now > 0)
            {
                offNow += IsOff(now, step) ? 1 : 0;
                longestNow = Math.Max(longestNow, now);
            }
            else
            {
                bool alike = areAlike(order[i], order[i - 1]);
                same += alike ? 1 : 0;
                differing += alike ? 0 : 1;
            }
        }

        // A clock that overflows or is reset leaves a long pause between its parts once they are sorted.
        bool noNewPause = longestNow <= 1.5 * longest;
        int bad = differing + Math.Max(0, offNow - offBefore);
        return noNewPause && offNow < 0.1 * sorted.Length && MovedPerBad * bad <= falls + same;
    }

    private static bool IsOff(double seconds, double step)
    {
        double steps = seconds / step;
        return steps < 50 && Math.Abs(steps - Math.Max(1, Math.Round(steps))) > Near;
    }
}
