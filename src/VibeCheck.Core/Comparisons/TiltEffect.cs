using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Change of order 1 per degree of tilt removed, over the motors.</summary>
/// <param name="SlopePerDeg">dB per degree of |tilt|; unknown when the flights do not show it.</param>
/// <param name="MotorCount">Number of motors on which it is based.</param>
/// <param name="Method">How the slope was found.</param>
public sealed record TiltEffect(Estimate SlopePerDeg, int MotorCount, TiltMethod Method);

/// <summary>How the effect of tilt is found.</summary>
public enum TiltMethod
{
    /// <summary>Not at all.</summary>
    None,

    /// <summary>Median of the slopes between pairs of motors (Theil 1950; Sen 1968).</summary>
    TheilSen,
}
