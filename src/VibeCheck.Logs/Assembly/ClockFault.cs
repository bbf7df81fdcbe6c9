using System.Globalization;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Logs.Assembly;

/// <summary>What stops two files from being lined up, as part of the fault that refuses them. Reports has the same words for results
/// and does not know this project; a test holds the two alike.</summary>
internal static class ClockFault
{
    internal static string Text(Reason? cause) =>
        cause switch
        {
            ImuTooSlowToAlign => "the IMU is logged too slowly to see the rotors, so the clocks could not be lined up by them",
            VibrationFollowsOtherSpeeds v => "the vibration does not follow the reported speeds at any offset "
                + Numbers(v.Likeness, v.Parts, v.NeededLikeness, v.NeededParts),
            OffsetNotShown o => "the speeds vary too little, or the vibration shows them too weakly, to find the offset "
                + Numbers(o.Likeness, o.Parts, o.NeededLikeness, o.NeededParts),
            _ => "no rotor speed is logged, so there is nothing to line up with the vibration",
        };

    private static string Numbers(double likeness, int parts, double neededLikeness, int neededParts) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"(match {likeness:F2} over {Parts(parts)} of the flight; {neededLikeness:F2} over {Parts(neededParts)} is needed)"
        );

    private static string Parts(int count) => string.Create(CultureInfo.InvariantCulture, $"{count} {(count == 1 ? "part" : "parts")}");
}
