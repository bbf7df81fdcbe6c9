using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>The part of one flight that was used, for a timeline.</summary>
/// <param name="Name">Name of the flight, such as "before 1".</param>
/// <param name="IsAfter">Whether it was flown after the work.</param>
/// <param name="Record">From the first IMU sample to the last, s.</param>
/// <param name="Hover">Hover found in this flight alone.</param>
/// <param name="Used">The part of it that was used after matching with the other flights.</param>
public sealed record FlightUse(
    string Name,
    bool IsAfter,
    TimeInterval Record,
    IReadOnlyList<TimeInterval> Hover,
    IReadOnlyList<TimeInterval> Used
)
{
    /// <summary>Share of the hover found that was used, 0 to 1; 0 without hover.</summary>
    public double UsedShare => Hover.Count == 0 ? 0 : Used.Sum(s => s.Seconds) / Hover.Sum(s => s.Seconds);
}
