using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>Fills the load where no speed was read, from the current or the command, which were still logged.</summary>
/// <remarks>Otherwise a load held at its last value would continue after the landing, and a motor that cools there would appear to heat
/// less.</remarks>
internal static class LoadGaps
{
    // Shorter gaps are interpolated linearly: motors take tens of seconds to warm up.
    private const double LongestGapS = 1;
    private const int LongestGapSteps = 5;

    // The substitute is scaled to the load with the readings this close to the gap where the rotor turns, because the battery discharges
    // during a flight.
    private const double NearS = 10,
        TurningLoad = 0.3;
    private const int LeastReadings = 5;

    /// <summary>The load with readings in its gaps and beyond its ends; the same object where it has no gap or nothing can fill
    /// one.</summary>
    /// <param name="load">Load from speed, relative to hover.</param>
    /// <param name="standIns">Other measures of the work, best first; null for those that are not logged.</param>
    internal static Series Filled(Series load, params ReadOnlySpan<Series?> standIns)
    {
        TimeInterval[] gaps = [.. Gaps(load)];
        foreach (Series? standIn in standIns)
        {
            if (standIn is { Count: >= LeastReadings } && Filled(load, standIn, gaps) is { } filled)
            {
                return filled;
            }
        }

        return load;
    }

    /// <summary>Intervals without a reading, including the time before the first and after the last one.</summary>
    private static IEnumerable<TimeInterval> Gaps(Series load)
    {
        double[] t = load.TimeS;
        if (t.Length < LeastReadings)
        {
            yield break;
        }

        double usualS = Robust.Median([.. t.Zip(t.Skip(1), (a, b) => b - a)]),
            leastS = Math.Max(LongestGapS, LongestGapSteps * usualS);
        yield return new(double.NegativeInfinity, t[0] - leastS);
        for (int i = 1; i < t.Length; i++)
        {
            if (t[i] - t[i - 1] > leastS)
            {
                yield return new(t[i - 1], t[i]);
            }
        }

        yield return new(t[^1] + leastS, double.PositiveInfinity);
    }

    private static Series? Filled(Series load, Series standIn, TimeInterval[] gaps)
    {
        List<(double TimeS, double Value)> added = [];
        foreach (TimeInterval gap in gaps)
        {
            int first = standIn.FirstAtOrAfter(gap.FromS),
                end = first;
            while (end < standIn.Count && standIn.TimeS[end] < gap.ToS)
            {
                end++;
            }

            double? before = Scale(load, standIn, new(gap.FromS - NearS, gap.FromS)),
                after = Scale(load, standIn, new(gap.ToS, gap.ToS + NearS));
            if (end - first < LeastReadings || (before ?? after) is not double from)
            {
                continue;
            }

            double to = after ?? from;
            for (int i = first; i < end; i++)
            {
                double timeS = standIn.TimeS[i],
                    share = double.IsFinite(gap.FromS) && double.IsFinite(gap.ToS) ? (timeS - gap.FromS) / (gap.ToS - gap.FromS) : 0;
                if (timeS > gap.FromS)
                {
                    added.Add((timeS, Math.Max(0, standIn.Values[i]) * (from + share * (to - from))));
                }
            }
        }

        if (added.Count == 0)
        {
            return null;
        }

        added.AddRange(load.TimeS.Zip(load.Values));
        (double TimeS, double Value)[] all = [.. added.OrderBy(r => r.TimeS)];
        return new([.. all.Select(r => r.TimeS)], [.. all.Select(r => r.Value)]);
    }

    /// <summary>Ratio of load to substitute while the rotor turns; null where there are too few readings.</summary>
    private static double? Scale(Series load, Series standIn, TimeInterval near)
    {
        List<double> ratios = [];
        for (int i = load.FirstAtOrAfter(near.FromS); i < load.Count && load.TimeS[i] <= near.ToS; i++)
        {
            double other = standIn.At(load.TimeS[i]);
            if (load.Values[i] > TurningLoad && other > 0)
            {
                ratios.Add(load.Values[i] / other);
            }
        }

        return ratios.Count < LeastReadings ? null : Robust.Median([.. ratios]);
    }
}
