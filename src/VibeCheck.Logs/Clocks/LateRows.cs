namespace VibeCheck.Logs.Clocks;

/// <summary>Finds rows that come late. Samples may be missing before such a row.</summary>
internal static class LateRows
{
    // A row is late when the time step before it is longer than this many periods. Where jitter is strong, the limit is raised by this
    // factor repeatedly, up to the last value.
    private const double LatePeriods = 1.5,
        RaiseFactor = 1.4,
        MostPeriods = 50;

    // If more than one row in 25 is late, the cause is jitter, not loss.
    private const int LeastAllowed = 8,
        AllowedPart = 25;

    private const int Neighbours = StampOffset.Neighbours;

    /// <summary>The late rows, in rising order. Where stamps are steady, each row is judged by its own step; otherwise the mean of the
    /// stamps after it is compared with the mean of those before it.</summary>
    /// <param name="timeS">Stamps that never fall, s.</param>
    /// <param name="periodS">Usual time between samples, s.</param>
    internal static List<int> Find(ReadOnlySpan<double> timeS, double periodS)
    {
        int most = Math.Max(LeastAllowed, timeS.Length / AllowedPart);
        double limitS = LatePeriods * periodS;
        List<int> late = ByStep(timeS, limitS);
        if (late.Count <= most)
        {
            return late;
        }

        // Jitter reaches this limit. Means still show a loss where the jitter is white. Where they do not, only rows that are even later
        // count.
        if (ByMeans(timeS, periodS) is { } byMeans && byMeans.Count <= most)
        {
            return byMeans;
        }

        while (late.Count > most && limitS <= MostPeriods * periodS)
        {
            limitS *= RaiseFactor;
            late = ByStep(timeS, limitS);
        }

        return late;
    }

    private static List<int> ByStep(ReadOnlySpan<double> timeS, double limitS)
    {
        var late = new List<int>();
        for (int i = 1; i < timeS.Length; i++)
        {
            if (timeS[i] - timeS[i - 1] > limitS)
            {
                late.Add(i);
            }
        }

        return late;
    }

    /// <summary>Rows at which the mean of the next stamps is later than the mean of the previous ones by more than half a period, each at
    /// its peak; null where they stay later for long, as after a change of the sample rate.</summary>
    private static List<int>? ByMeans(ReadOnlySpan<double> timeS, double periodS)
    {
        var late = new List<int>();
        double before = 0,
            behind = 0,
            peak = 0;
        int peakAt = -1,
            run = 0;
        for (int i = 0; i < 2 * Neighbours && i < timeS.Length; i++)
        {
            (before, behind) = i < Neighbours ? (before + timeS[i], behind) : (before, behind + timeS[i]);
        }

        for (int at = Neighbours; at + Neighbours <= timeS.Length; at++)
        {
            double shiftS = (behind - before) / Neighbours - Neighbours * periodS;
            if (shiftS > 0.5 * periodS)
            {
                (peak, peakAt) = shiftS > peak ? (shiftS, at) : (peak, peakAt);
                if (++run > 3 * Neighbours)
                {
                    return null;
                }
            }
            else if (peakAt >= 0)
            {
                late.Add(peakAt);
                (peak, peakAt, run) = (0, -1, 0);
            }

            if (at + Neighbours < timeS.Length)
            {
                before += timeS[at] - timeS[at - Neighbours];
                behind += timeS[at + Neighbours] - timeS[at];
            }
        }

        if (peakAt >= 0)
        {
            late.Add(peakAt);
        }

        return late;
    }
}
