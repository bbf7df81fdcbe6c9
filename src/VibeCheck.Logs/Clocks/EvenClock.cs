using VibeCheck.Core.Tracks;

namespace VibeCheck.Logs.Clocks;

/// <summary>The even clock underlying time stamps with jitter: contiguous segments with a constant period each, and the samples that are
/// missing within them.</summary>
internal sealed class EvenClock
{
    // A run of lost samples is filled in when it spans at most this time, s. The limit in samples is kept between least and most. A longer
    // run is a gap.
    private const int MostFilled = 24,
        LeastFilled = 2;
    private const double MostFilledS = 0.026;

    // Nothing is filled in where the number of missing samples exceeds this multiple of the number of rows.
    private const double MostFilledShare = 1.2;

    private EvenClock() { }

    /// <summary>The segments between gaps, in rising order. Their samples include those that are to be filled in.</summary>
    internal required IReadOnlyList<ContiguousSegment> Blocks { get; init; }

    /// <summary>Where samples are to be filled in, in rising order.</summary>
    internal required IReadOnlyList<SampleLoss> Holes { get; init; }

    /// <summary>Standard deviation of the stamps against the even clock, s; null where it was not calculated.</summary>
    internal double? JitterS { get; init; }

    /// <summary>Share of time steps that are zero, 0 to 1: the stamps are coarser than the sampling.</summary>
    internal double ZeroStepShare { get; init; }

    /// <summary>Finds the clock.</summary>
    /// <param name="timeS">Stamps that never fall, s; two or more.</param>
    internal static EvenClock Find(ReadOnlySpan<double> timeS)
    {
        (double periodS, double zeroShare) = SamplePeriod.Of(timeS);
        double? gridS = StampGrid.PeriodS(timeS, periodS);
        periodS = gridS ?? periodS;
        List<SampleLoss> losses = gridS is null ? SampleLosses.Find(timeS, periodS) : StampGrid.Losses(timeS, periodS);
        int most = MostInARow(periodS),
            lost = losses.Sum(l => l.Missing <= most ? l.Missing : 0);
        bool fill = lost <= MostFilledShare * timeS.Length;
        var segments = new ClockSegments(periodS);
        int from = 0;
        foreach (SampleLoss loss in losses)
        {
            if (fill && loss.Missing <= most)
            {
                segments.AddHole(loss);
                continue;
            }

            segments.AddRows(timeS, from, loss.AfterRow + 1);
            from = loss.AfterRow + 1;
        }

        segments.AddRows(timeS, from, timeS.Length);
        return new()
        {
            Blocks = segments.Segments,
            Holes = segments.Holes,
            JitterS = segments.JitterS,
            ZeroStepShare = zeroShare,
        };
    }

    /// <summary>The largest number of samples in a row that is filled in.</summary>
    /// <param name="periodS">Time between samples, s.</param>
    internal static int MostInARow(double periodS) => (int)Math.Clamp(MostFilledS / periodS, LeastFilled, MostFilled);
}
