using Tuning = VibeCheck.Core.Orders.OrderTuning.FirstCorrection;

namespace VibeCheck.Core.Orders;

/// <summary>Corrects the phases from window to window, before envelopes are fitted, where the readings may let an angle stray so far
/// that lines of high order would begin a whole turn off.</summary>
internal static class FirstPhaseCorrection
{
    /// <summary>The segment at corrected angles, or as it was; and the noise last seen.</summary>
    /// <param name="demodulated">The segment; taken over.</param>
    /// <param name="noise">Noise at every line.</param>
    /// <param name="estimator">Estimates it again.</param>
    /// <param name="processNoise">How fast the reported angles are thought to go astray, rad² a second.</param>
    internal static (DemodulatedSegment Demodulated, NoiseEstimate Noise) Of(
        DemodulatedSegment demodulated,
        NoiseEstimate noise,
        NoiseEstimator estimator,
        double processNoise
    )
    {
        if (processNoise * demodulated.Segment.Seconds / Tuning.StrayFromMean <= Tuning.StrayRad2)
        {
            return (demodulated, noise);
        }

        DemodulatedSegment at = demodulated;
        foreach (double seconds in Tuning.WindowsS)
        {
            WindowFits fits = JointFit.Of(at, seconds, OrderTuning.Windows.DiagonalLoading, withInflation: true);
            noise = estimator.Of(fits);
            if (WindowPhaseCorrection.Of(fits, noise) is { } correction)
            {
                DemodulatedSegment before = at;
                at = before.Rotated(correction, withSpeeds: false);
                before.Dispose();
            }
        }

        // Corrections were not slow: the samples are gone through again.
        at.Dispose();
        return (DemodulatedSegment.Of(at.Segment, at.Lines, at.Phases, at.Workspace), noise);
    }
}
