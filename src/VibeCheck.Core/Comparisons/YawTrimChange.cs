using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Yaw trim measured and predicted.</summary>
/// <param name="Before">Measured before.</param>
/// <param name="After">Measured after.</param>
/// <param name="PredictedBefore">Prediction from the as-found tilts.</param>
/// <param name="PredictedAfter">Prediction from the as-left tilts.</param>
/// <param name="From">Source: speeds or commands.</param>
public sealed record YawTrimChange(Estimate Before, Estimate After, Estimate PredictedBefore, Estimate PredictedAfter, YawTrimSource From)
{
    /// <summary>Whether the survey explains the trim; null where it is not known on both sides.</summary>
    public SplitChanged? Meaning { get; init; }
}
