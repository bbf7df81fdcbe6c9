using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Faults of temperatures that show only when flights before are compared with flights after.</summary>
internal static class TemperaturePairQuality
{
    /// <summary>The faults. Only the first kind that is found is returned, because one fault looks like others to the checks that
    /// follow.</summary>
    internal static IReadOnlyList<QualityIssue> Of(
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> before,
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> after
    )
    {
        PairedRises rises = new([.. before.Select(b => b.Analysis)], [.. after.Select(a => a.Analysis)]);
        Flight[] flightsBefore = [.. before.Select(b => b.Flight)],
            flightsAfter = [.. after.Select(a => a.Flight)];
        ScaledTemperatures scaled = new(rises);
        SwappedTemperatures swapped = new(rises);
        Func<IEnumerable<QualityIssue>>[] checks =
        [
            () => [.. RepeatedTemperatures.Of(flightsBefore, flightsAfter), .. scaled.Steps(flightsBefore, flightsAfter)],
            swapped.MotorsWithEscs,
            () => [.. swapped.Renumbered(), .. scaled.Rises(), .. TimeConstantChange.Of(rises)],
            new UnsupportedTemperatures(rises).Issues,
        ];
        foreach (Func<IEnumerable<QualityIssue>> check in checks)
        {
            QualityIssue[] issues = [.. check()];
            if (issues.Length > 0)
            {
                return issues;
            }
        }

        return [];
    }
}
