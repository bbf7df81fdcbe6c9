using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>Finds from the vibration the rotor speeds that the log lacks, guided by commands and by the speeds of other
/// motors.</summary>
/// <remarks>
/// Time is rescaled by the speed that a motor's command (or a known speed) predicts; then its lines stay at one frequency and add up, and
/// those of others are smeared (order tracking; see docs/methods/rotor-speeds.md). Lines that stand out at two orders or more are rotors;
/// which motor makes which is the assignment under which the shapes fit best. Ambiguous assignments are not reported.
/// </remarks>
public static class RotorSpeedFinder
{
    /// <summary>Finds the speeds.</summary>
    /// <param name="imu">Acceleration.</param>
    /// <param name="hover">The time to search, on the IMU clock; of a long hover the parts that orders are measured on.</param>
    /// <param name="priors">All motors of the aircraft, with what is logged of each.</param>
    /// <returns>One result for each motor without a logged speed; unknown with its reason where the vibration does not show it.</returns>
    /// <exception cref="ArgumentNullException">An argument is null.</exception>
    public static SpeedSearchResult Find(ImuTrack imu, IReadOnlyList<TimeInterval> hover, IReadOnlyList<SpeedPrior> priors)
    {
        ArgumentNullException.ThrowIfNull(imu);
        ArgumentNullException.ThrowIfNull(hover);
        ArgumentNullException.ThrowIfNull(priors);
        IReadOnlyList<TimeInterval> over = MeasuredTime.Of(hover);
        IReadOnlyList<SearchSegment> segments = SearchSegment.Of(imu, over);
        return priors.All(l => l.Rpm is not null) ? new() { Motors = [] }
            : segments.Count == 0 ? Search.Nothing(priors, new HoverWithoutSegment(SpeedSearchTuning.ShortestSegmentS))
            : new Search(imu.RateHz, segments, over, priors).Result();
    }
}
