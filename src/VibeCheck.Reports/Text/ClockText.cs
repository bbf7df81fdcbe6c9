using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Turns causes about the clocks of two recorders into clauses.</summary>
internal static class ClockText
{
    /// <summary>One clause; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            NoSpeedToAlignBy => "no rotor speed is logged, so there is nothing to line up with the vibration",
            ImuTooSlowToAlign => "the IMU is logged too slowly to see the rotors, so the clocks could not be lined up by them",
            VibrationFollowsOtherSpeeds v => "the vibration does not follow the reported speeds at any offset "
                + Numbers(v.Likeness, v.Parts, v.NeededLikeness, v.NeededParts),
            OffsetNotShown o => "the speeds vary too little, or the vibration shows them too weakly, to find the offset "
                + Numbers(o.Likeness, o.Parts, o.NeededLikeness, o.NeededParts),
            OffsetLikely o => "the vibration shows a likely offset, but not clearly enough to be sure "
                + Numbers(o.Likeness, o.Parts, o.NeededLikeness, o.NeededParts),
            DriftNotShown => "the flight is too short, or the speeds vary too little, to show a drift between the clocks",
            NotInLog => "not in the log, or not needed with everything in one file",
            OffsetGiven => "the offset was given by the user",
            ClocksTakenToAgree c => $"the two clocks were assumed to start at the same moment: {ReasonText.Of(c.Cause)}",
            _ => null,
        };

    private static string Numbers(double likeness, int parts, double neededLikeness, int neededParts) =>
        $"(match {Format.Number(likeness, 2)} over {Grammar.Count(parts, "part")} of the flight; {Format.Number(neededLikeness, 2)} over "
        + $"{Grammar.Count(neededParts, "part")} is needed)";
}
