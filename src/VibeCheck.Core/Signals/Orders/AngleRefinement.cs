namespace VibeCheck.Core.Signals.Orders;

/// <summary>Brings the rotor angles of a stretch from what was reported to what the vibration shows.</summary>
internal static class AngleRefinement
{
    /// <summary>Corrects the angles in place and leaves the sums done at the corrected ones.</summary>
    internal static void Run(TrackedStretch tracked)
    {
        foreach (double seconds in (ReadOnlySpan<double>)[8, 4, 4, 4])
        {
            WindowFits fits = JointFit.Of(tracked, seconds, ridge: 0.01);
            Residual residual = Residual.Of(fits);
            PhaseTrack.Correct(fits, residual, LocalNoise.Of(fits, residual));
        }

        tracked.Sum();
    }
}
