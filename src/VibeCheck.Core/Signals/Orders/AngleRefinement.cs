namespace VibeCheck.Core.Signals.Orders;

/// <summary>Brings the rotor angles of a stretch from what was reported to what the vibration shows.</summary>
internal static class AngleRefinement
{
    private const double TurnRidge = 0.03;
    private const double TrackRidge = 0.01;

    /// <summary>Windows of the first correction, s: only for speeds reported in steps so coarse that the lines would be lost otherwise.</summary>
    private static readonly double[] s_turnWindowsS = [1, 2, 2];

    /// <summary>Windows of the second, s. Long ones leave the angle's drift to the angle, where the phasors of short ones would follow it.</summary>
    private static readonly double[] s_trackWindowsS = [2, 8, 16, 16];

    /// <summary>Corrects the angles in place and leaves the sums done at the corrected ones.</summary>
    /// <param name="tracked">A stretch with its sums done.</param>
    /// <param name="coarse">Whether speeds come in steps of a good part of what they move by.</param>
    internal static void Run(TrackedStretch tracked, bool coarse)
    {
        if (coarse)
        {
            foreach (double seconds in s_turnWindowsS)
            {
                WindowFits fits = JointFit.Of(tracked, seconds, terms: 1, TurnRidge);
                PhaseTurns.Correct(fits, LocalNoise.Of(fits, Residual.Of(fits)));
            }

            tracked.Sum();
        }

        foreach (double seconds in s_trackWindowsS)
        {
            WindowFits fits = JointFit.Of(tracked, seconds, terms: 2, TrackRidge);
            Residual residual = Residual.Of(fits);
            PhaseTrack.Correct(fits, residual, LocalNoise.Of(fits, residual));
        }

        tracked.Sum();
    }
}
