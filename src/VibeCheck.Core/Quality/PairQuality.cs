using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Faults that show only when flights before are compared with flights after.</summary>
internal static class PairQuality
{
    internal static IReadOnlyList<QualityIssue> Of(
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> before,
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> after
    )
    {
        var issues = new List<QualityIssue>();
        foreach ((Flight a, FlightAnalysis one) in before)
        {
            foreach ((Flight b, FlightAnalysis two) in after)
            {
                issues.AddRange(new RecorderPair(a, one, b, two).Find());
            }
        }

        issues.AddRange(OneFlightTwice.Of(before, after));
        IReadOnlyList<QualityIssue> temperatures = TemperaturePairQuality.Of(before, after);
        issues.AddRange(temperatures);
        issues.AddRange(
            new OtherAircraft([.. before.Select(b => b.Analysis)], [.. after.Select(a => a.Analysis)]).Find(
                temperatures.Any(t => t.Cause is MotorsRenumbered or MotorAndEscSwapped)
            )
        );

        // One pair that does not match is enough; the same fault in several pairs is reported once.
        return [.. issues.DistinctBy(i => (i.Cause.GetType(), i.Channel, i.Motor))];
    }
}
