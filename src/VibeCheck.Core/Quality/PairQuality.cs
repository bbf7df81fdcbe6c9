using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Faults that only show when flights before are held against flights after.</summary>
internal static class PairQuality
{
    internal static IReadOnlyList<QualityIssue> Of(
        IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> before, IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> after)
    {
        var issues = new List<QualityIssue>();
        ShortTimeOrders?[] ordersBefore = Orders(before), ordersAfter = Orders(after);
        for (int i = 0; i < before.Count; i++)
        {
            for (int j = 0; j < after.Count; j++)
            {
                issues.AddRange(new RecorderPair(before[i].Flight, before[i].Analysis, after[j].Flight, after[j].Analysis, ordersBefore[i], ordersAfter[j]).Find());
            }
        }

        issues.AddRange(TemperaturePairQuality.Of(before, after));

        // One pair that does not match is enough; the same fault in several pairs is said once.
        return [.. issues.DistinctBy(i => (i.Cause.GetType(), i.Channel, i.Motor))];
    }

    private static ShortTimeOrders?[] Orders(IReadOnlyList<(Flight Flight, FlightAnalysis Analysis)> side) =>
        [.. side.AsParallel().AsOrdered().Select(f => ShortTimeOrders.Of(f.Flight, f.Analysis))];
}
