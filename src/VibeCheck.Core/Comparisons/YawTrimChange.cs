using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Yaw trim measured and predicted.</summary>
/// <param name="Before">Measured before.</param>
/// <param name="After">Measured after.</param>
/// <param name="PredictedBefore">What the as-found tilts predict.</param>
/// <param name="PredictedAfter">What the as-left tilts predict.</param>
/// <param name="From">Speeds or commands.</param>
public sealed record YawTrimChange(Estimate Before, Estimate After, Estimate PredictedBefore, Estimate PredictedAfter, YawTrimSource From)
{
    /// <summary>Whether the survey explains the trim; null where it is not known on both sides.</summary>
    public SplitChanged? Meaning { get; init; }
}
