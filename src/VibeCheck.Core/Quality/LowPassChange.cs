using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>A low-pass filter that only one of two flights has, as seen in the change of the noise floor.</summary>
/// <remarks>The magnitude of a Butterworth filter of order n, -10 log10(1 + (f/fc)^(2n)) dB, either unchanged (in the sensor, before
/// sampling) or with the bilinear transform, which replaces f by tan(πf) (in the logger, after sampling): A. V. Oppenheim, R. W. Schafer,
/// Discrete-Time Signal Processing, 7.2 and 7.3. Near half the rate the two differ by far more than at the orders. Using one for the other
/// would give a wrong corner.</remarks>
/// <param name="CornerShare">Corner frequency, as a share of the sample rate.</param>
/// <param name="Order">Order of the filter.</param>
/// <param name="IsDigital">Whether it is applied to the samples.</param>
/// <param name="Sign">-1 where the second flight has it, 1 where the first has it.</param>
internal readonly record struct LowPassChange(double CornerShare, int Order, bool IsDigital, int Sign)
{
    // Bands of a sixth of an octave between body motion and half the rate, as shares of the rate.
    private const double LowestShare = 0.04,
        HighestShare = 0.47,
        CornerStep = 1.06;
    private const int LeastBands = 8,
        HighestOrder = 4,
        Corners = 56;

    // A floor that matches within this, mean over the bands, is that of a low-pass filter. Not tuned: a mean of five samples, which has
    // zeros that no Butterworth filter has, misses by more (LowPassChangeTests).
    private const double MostMisfitDb = 2;

    /// <summary>Its change at a frequency, dB.</summary>
    /// <param name="share">Frequency as a share of the sample rate.</param>
    internal double Db(double share)
    {
        // An order of a faster logger may be above half the lower rate, where a digital filter has no meaning.
        share = Math.Min(share, HighestShare);
        double ratio = IsDigital ? Math.Tan(Math.PI * share) / Math.Tan(Math.PI * CornerShare) : share / CornerShare;
        return Sign * 10 * Math.Log10(1 + Math.Pow(ratio, 2 * Order));
    }

    /// <summary>The low-pass filter closest to a change of the floor, in addition to a change of all frequencies alike.</summary>
    /// <param name="change">Change of the floor of each axis between two frequencies given as shares of the sample rate, dB.</param>
    /// <param name="topDb">Change of the floor near half the sample rate, dB: its sign shows which flight has the filter.</param>
    /// <returns>Null where the floor is not known, or bends in another way.</returns>
    internal static LowPassChange? Through(Func<double, double, IEnumerable<double>> change, double topDb)
    {
        List<(double Share, double Db)> floor = Floor(change);
        if (floor.Count < LeastBands)
        {
            return null;
        }

        LowPassChange best = default;
        double least = double.PositiveInfinity;
        foreach (LowPassChange candidate in Candidates(Math.Sign(topDb)))
        {
            double misfit = candidate.MisfitDb(floor);
            (best, least) = misfit < least ? (candidate, misfit) : (best, least);
        }

        return least < MostMisfitDb ? best : null;
    }

    private static IEnumerable<LowPassChange> Candidates(int sign) =>
        from isDigital in (bool[])[false, true]
        from order in Enumerable.Range(1, HighestOrder)
        from corner in Enumerable.Range(0, Corners).Select(i => LowestShare * Math.Pow(CornerStep, i))
        where !isDigital || corner < HighestShare
        select new LowPassChange(corner, order, isDigital, sign);

    private static List<(double Share, double Db)> Floor(Func<double, double, IEnumerable<double>> change)
    {
        double half = Math.Pow(2, 1.0 / 12);
        var floor = new List<(double, double)>();
        for (double share = LowestShare; share * half < HighestShare; share *= half * half)
        {
            double[] axes = [.. change(share / half, share * half)];
            if (axes.Length == 3)
            {
                floor.Add((share, Robust.UpperMedian(axes)));
            }
        }

        return floor;
    }

    /// <summary>Mean distance from the floor, dB, with the best change of all frequencies alike (a median).</summary>
    private double MisfitDb(List<(double Share, double Db)> floor)
    {
        LowPassChange filter = this;
        double[] left = [.. floor.Select(b => b.Db - filter.Db(b.Share))];
        double alike = Robust.UpperMedian([.. left]);
        return left.Average(d => Math.Abs(d - alike));
    }
}
