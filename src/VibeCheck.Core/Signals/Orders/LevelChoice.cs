namespace VibeCheck.Core.Signals.Orders;

/// <summary>Chooses for each line the way of reading its size: short windows follow every change but let noise in and can't part close
/// neighbours, long ones the other way round.</summary>
/// <remarks>After A. Goldenshluger, O. Lepski, Ann. Statist. 39, 2011: least sum of a reading's variance and of its squared bias, which is
/// read from how far it lies off the more flexible readings beyond their own variance.</remarks>
internal static class LevelChoice
{
    /// <summary>Readings, most flexible first: window in seconds, terms of the phasors, and the share of a squared size that such a reading
    /// may miss by itself, one sigma: what changes within a window, and angles that are not quite followed.</summary>
    internal static readonly (double Seconds, int Terms, double ModelShare)[] Readings =
        [(1, 1, 0.005), (2, 1, 0.005), (4, 2, 0.006), (8, 2, 0.008), (16, 2, 0.012), (32, 1, 0.03)];

    /// <summary>A line whose neighbours raise the noise's share more than this is not told from them.</summary>
    private const double MostGain = 12;

    /// <summary>A reading that does not stand out of its noise by so many deviations says nothing against stiffer ones.</summary>
    private const double Shown = 4;

    /// <summary>The reading whose residual is looked at.</summary>
    internal const int UnexplainedFrom = 3;

    /// <summary>How much of the power beside a line that is neither fitted nor noise may be the line's own.</summary>
    private const double UnexplainedShare = 0.5;

    /// <summary>With more of it than this, against the line's own square, the line was not followed.</summary>
    private const double MostUnexplained = 6;

    // By how much the deviations reckoned here fall short of the errors met on simulated hovers (the campaign's trials), at order 1
    // and above: angles that are not quite followed take from a line, the more the higher its order.
    private const double FallsShortFirst = 3;
    private const double FallsShortHigher = 4.5;

    /// <summary>The reading to believe, its deviation widened by what is not noise; null when no window parts the line from its neighbours.</summary>
    /// <param name="readings">In the order of <see cref="Readings"/>.</param>
    /// <param name="order">The line's order.</param>
    internal static LineLevel? Of(IReadOnlyList<LineLevel> readings, int order)
    {
        LineLevel? chosen = null;
        for (int r = 0; r < readings.Count; r++)
        {
            if (readings[r].Gain > MostGain)
            {
                continue;
            }

            double model = Readings[r].ModelShare * Math.Max(0, readings[r].Square), missed = Missed(readings, r);
            LineLevel widened = readings[r] with { Deviation = Math.Sqrt(readings[r].Deviation * readings[r].Deviation + model * model + missed) };
            if (chosen is null || widened.Deviation < chosen.Deviation)
            {
                chosen = widened;
            }
        }

        if (chosen is null)
        {
            return null;
        }

        double deviation = (order == 1 ? FallsShortFirst : FallsShortHigher) * chosen.Deviation, left = readings[UnexplainedFrom].Unexplained;
        return left > MostUnexplained * Math.Max(0, chosen.Square)
            ? null
            : chosen with { Deviation = deviation, Unexplained = UnexplainedShare * left };
    }

    /// <summary>Squared bias of a reading: how far it lies off any more flexible one, beyond that one's own noise.</summary>
    private static double Missed(IReadOnlyList<LineLevel> readings, int at)
    {
        double most = 0;
        for (int r = 0; r < at; r++)
        {
            if (readings[r].Gain <= MostGain && readings[r].Square > Shown * readings[r].Deviation)
            {
                double off = readings[at].Square - readings[r].Square;
                most = Math.Max(most, off * off - readings[r].Deviation * readings[r].Deviation);
            }
        }

        return most;
    }
}
