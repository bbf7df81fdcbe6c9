using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Finds temperature columns with the same readings before and after: the flight after is a copy of the one before.</summary>
internal static class RepeatedTemperatures
{
    // Temperatures that were recorded twice never agree reading for reading over this many readings.
    private const int LeastReadings = 50,
        LeastValues = 8;
    private const double LeastAgreeing = 0.99;

    internal static IEnumerable<QualityIssue> Of(IEnumerable<Flight> before, IEnumerable<Flight> after)
    {
        List<UnitTrack> units = [.. before.SelectMany(f => UnitTrack.Of(f.Motors))],
            others = [.. after.SelectMany(f => UnitTrack.Of(f.Motors))];
        UnitTrack[] copied =
        [
            .. units.Where(u => others.Any(o => o.Channel == u.Channel && SameReadings(u.TempC, o.TempC))).DistinctBy(u => u.Channel),
        ];

        // A single column in whole degrees may agree over a short cold flight.
        return copied.Length < 2 ? [] : UnitTrack.Issues(copied, names => new TemperaturesOfOneFlight(names), QualityEffect.Withheld);
    }

    private static bool SameReadings(Series a, Series b)
    {
        int n = Math.Min(a.Count, b.Count),
            same = 0;
        if (n < LeastReadings || n < 0.5 * Math.Max(a.Count, b.Count) || a.Values.AsSpan(0, n).ToArray().Distinct().Count() < LeastValues)
        {
            return false;
        }

        for (int i = 0; i < n; i++)
        {
            same += a.Values[i] == b.Values[i] ? 1 : 0;
        }

        return same >= LeastAgreeing * n;
    }
}
