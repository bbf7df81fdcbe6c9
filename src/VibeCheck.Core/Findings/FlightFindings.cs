using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Findings;

/// <summary>What one flight's numbers point to, roots first and the gravest first. No finding without evidence
/// in numbers, none more certain than these.</summary>
/// <remarks>All limits stand in <see cref="FindingRules"/>.</remarks>
internal static class FlightFindings
{
    /// <param name="flight">The flight.</param>
    /// <param name="analysis">Its numbers, with what faults of the log withhold.</param>
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
