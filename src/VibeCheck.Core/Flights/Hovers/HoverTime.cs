using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Hovers;

/// <summary>The hover time that is used.</summary>
/// <param name="Segments">Intervals of steady hover on the IMU clock; empty when none was found.</param>
/// <param name="Why">How they were found, or why there is none.</param>
public sealed record HoverTime(IReadOnlyList<TimeInterval> Segments, Reason Why)
{
    /// <summary>Sum of the segments, s.</summary>
    public double SecondsUsed => Segments.Sum(s => s.Seconds);
}
