using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Findings;

/// <summary>What one flight's numbers point to, the gravest first. No finding without evidence
/// in numbers, none more certain than these.</summary>
/// <remarks>Limits are common practice and stand beside each rule as named constants; docs/methods/flight.md lists them.</remarks>
internal static class FlightFindings
{
    internal static IReadOnlyList<Finding> Of(Flight flight, FlightAnalysis analysis) =>
        analysis.Hover.Segments.Count == 0
            ? [.. LogFindings.Of(flight, analysis)]
            :
            [
                .. RotorFindings
                    .Of(analysis)
                    .Concat(StructureFindings.Of(analysis))
                    .Concat(AccountFindings.Of(analysis))
                    .Concat(TrimFindings.Of(analysis))
                    .Concat(HeatFindings.Of(analysis))
                    .Concat(LogFindings.Of(flight, analysis))
                    .OrderByDescending(f => f.Severity),
            ];
}
