namespace VibeCheck.Logs.Clocks;

/// <summary>Finds where a recorder lost samples: the stamps after that row are later than those before it by whole periods, and stay
/// later.</summary>
internal static class SampleLosses
{
    // Jitter never looks like a loss of more samples than this.
    private const int MostDoubted = 20;

    // A step longer than this is a loss; its neighbours are not checked.
    private const double SurePeriods = 100;

    // At least this many rows from a late row on are used, even beyond the next late row.
    private const int LeastBehind = 4;

    /// <summary>The losses, in rising order.</summary>
    /// <param name="timeS">Stamps that never fall, s.</param>
    /// <param name="periodS">Usual time between samples, s.</param>
    internal static List<SampleLoss> Find(ReadOnlySpan<double> timeS, double periodS)
    {
        List<int> late = LateRows.Find(timeS, periodS);
        var losses = new List<SampleLoss>();
        int cleanFrom = 0;
        for (int l = 0; l < late.Count; l++)
        {
            int at = late[l];
            int until = l + 1 < late.Count ? Math.Max(late[l + 1], Math.Min(at + LeastBehind, timeS.Length)) : timeS.Length;
            int missing = Missing(timeS, at, cleanFrom, until, periodS);
            if (missing > 0)
            {
                losses.Add(new(at - 1, missing));
                cleanFrom = at;
            }
        }

        RemoveFalse(losses, timeS, periodS);
        return losses;
    }

    /// <summary>How many samples are missing before row <paramref name="at"/>; 0 when only its own stamp is late.</summary>
    private static int Missing(ReadOnlySpan<double> timeS, int at, int cleanFrom, int until, double periodS)
    {
        double periods = (timeS[at] - timeS[at - 1]) / periodS;
        if (periods > SurePeriods)
        {
            return (int)Math.Min(int.MaxValue - 1, Math.Round(periods) - 1);
        }

        double shiftS =
            StampOffset.MedianS(timeS, at, at, Math.Min(until, at + StampOffset.Neighbours), periodS)
            - StampOffset.MedianS(timeS, at, Math.Max(cleanFrom, at - StampOffset.Neighbours), at, periodS);
        return Math.Max(0, (int)Math.Round(shiftS / periodS));
    }

    /// <summary>Removes false losses that come from one late stamp. After all other losses are corrected for, the stamps after a true loss
    /// are later than those before it by more than half a period.</summary>
    private static void RemoveFalse(List<SampleLoss> losses, ReadOnlySpan<double> timeS, double periodS)
    {
        for (int l = losses.Count - 1; l >= 0; l--)
        {
            (int after, int missing) = losses[l];
            if (missing > MostDoubted)
            {
                continue;
            }

            double beforeS = StampOffset.MedianS(timeS, after, -1, losses, l, periodS),
                behindS = StampOffset.MedianS(timeS, after + 1, 1, losses, l, periodS);
            if ((int)Math.Round((behindS - beforeS) / periodS - 1) <= 0)
            {
                losses.RemoveAt(l);
            }
        }
    }
}
