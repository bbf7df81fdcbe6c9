using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Findings;

/// <summary>The findings from the numbers of one flight, roots first and the most severe first. No finding is made without evidence in
/// numbers, and none is more certain than these.</summary>
/// <remarks>All limits are in <see cref="FindingRules"/>.</remarks>
internal static class FlightFindings
{
    /// <param name="flight">The flight.</param>
    /// <param name="analysis">Its numbers, without what faults of the log withhold.</param>
    /// <param name="measured">Its numbers as measured.</param>
    internal static IReadOnlyList<Finding> Of(Flight flight, FlightAnalysis analysis, FlightAnalysis measured)
    {
        IEnumerable<Observation> log = LogFindings.Of(flight, analysis);
        return FindingRoots.Of(
            (
                analysis.Hover.Segments.Count == 0
                    ? log
                    : RotorFindings
                        .Of(analysis)
                        .Concat(StructureFindings.Of(analysis))
                        .Concat(AccountFindings.Of(analysis, measured))
                        .Concat(TrimFindings.Of(analysis))
                        .Concat(HeatFindings.Of(analysis))
                        .Concat(PowerFindings.Of(analysis))
                        .Concat(log)
            )
                .Select(o => o.Judged())
                .OfType<Finding>()
        );
    }
}
