using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Leaves out telemetry readings that cannot have been measured: fillers for missing readings (0, -1, 255, 65535) and
/// spikes.</summary>
internal static class ReadingFilter
{
    private const int LeastReadings = 8;

    // Motors and ESCs change by about 2 °C per second at most (simulated and real flights); 3 allows for the steps of their sensors.
    private const double MostRateCps = 3,
        LeastJumpC = 3;
    private const double SpikeDeviations = 6;

    // A filler appears and disappears: at least this many separate visits, each between readings that are far away.
    private const int LeastVisits = 3;
    private const double FarC = 5;

    // Running medians over 2.5 s to each side follow a unit that heats up, and are valid as long as fewer than two in five readings are
    // false.
    private const double MedianHalfS = 2.5;
    private const int LeastMedianHalf = 2,
        MostMedianHalf = 12;

    private const double LeastC = -60,
        MostC = 400;

    // A reading close to zero speed between readings in flight within this time is a missing one: no rotor stops and starts again so fast.
    private const double StopAndStartS = 1;
    private const double StandingShare = 0.1,
        TurningShare = 0.4;

    // No rotor produces six times its hover thrust for a single report.
    private const double ImpossibleShare = 2.5;

    // A rotor's speed changes by a tenth within some tenths of a second in hard manoeuvres. A larger change, there and back in less time,
    // is not real. Where reports are too slow to show it, only half of the speed is too much.
    private const double SpikeShare = 0.12,
        SlowSpikeShare = 0.5;
    private const double LongestSpikeS = 0.3,
        FastReportsS = 0.12;
    private const int SpeedMedianHalf = 4;

    /// <summary>The temperatures without fillers and spikes.</summary>
    internal static Series Temperatures(Series tempC)
    {
        double[] values = tempC.Values;
        if (values.Length < LeastReadings || GreatestStep(values) <= LeastJumpC)
        {
            return tempC;
        }

        bool[] keep = Array.ConvertAll(values, v => v is > LeastC and < MostC);
        if (keep.Count(k => k) * 2 < keep.Length)
        {
            // Most values are out of range: that is a wrong unit, not a filler.
            Array.Fill(keep, true);
        }

        for (int round = 0; round < 4 && DropFiller(values, keep); round++) { }

        Series rest = Kept(tempC, keep);
        return Kept(rest, NearMedian(rest));
    }

    /// <summary>The speeds without zeros in flight, fillers and spikes.</summary>
    internal static Series Speeds(Series rpm)
    {
        double typical = Typical(rpm);
        if (rpm.Count < LeastReadings || double.IsNaN(typical))
        {
            return rpm;
        }

        bool[] keep = Turning(rpm, typical);
        DropFillers(rpm.Values, typical, keep);
        Series rest = Kept(rpm, keep);
        return Kept(rest, WithoutSpikes(rest, typical));
    }

    /// <summary>Median of the readings above 0: a speed in flight; NaN when there are none.</summary>
    internal static double Typical(Series rpm) => Robust.Median(rpm.Values.Where(v => v > 0));

    internal static Series Kept(Series series, bool[] keep)
    {
        if (Array.TrueForAll(keep, k => k))
        {
            return series;
        }

        int[] places = [.. Enumerable.Range(0, keep.Length).Where(i => keep[i])];
        return new(Array.ConvertAll(places, i => series.TimeS[i]), Array.ConvertAll(places, i => series.Values[i]));
    }

    private static double GreatestStep(double[] values)
    {
        double most = 0;
        for (int i = 1; i < values.Length; i++)
        {
            most = Math.Max(most, Math.Abs(values[i] - values[i - 1]));
        }

        return most;
    }

    /// <summary>Leaves out the most frequent exact value that appears and disappears between readings far away; false when there is
    /// none.</summary>
    private static bool DropFiller(double[] values, bool[] keep)
    {
        Dictionary<double, List<double>> jumps = [];
        int last = -1;
        for (int i = 0; i < values.Length; i++)
        {
            if (!keep[i])
            {
                continue;
            }

            if (last >= 0 && values[i] != values[last])
            {
                double jump = Math.Abs(values[i] - values[last]);
                Add(jumps, values[i], jump);
                Add(jumps, values[last], jump);
            }

            last = i;
        }

        // Every visit of a filler is between far readings. A true value between two visits also has the filler on both sides, but each true
        // value is only one of many.
        var fillers = jumps
            .Where(j => j.Value.Count >= 2 * LeastVisits && Robust.Median(j.Value) > FarC)
            .Select(j => (Value: j.Key, Visits: j.Value.Count))
            .ToList();
        if (fillers.Count == 0)
        {
            return false;
        }

        double filler = fillers.MaxBy(f => f.Visits).Value;
        if (IsMostLikelyTrue(values, keep, filler))
        {
            return false;
        }

        for (int i = 0; i < values.Length; i++)
        {
            keep[i] &= values[i] != filler;
        }

        return true;
    }

    /// <summary>Whether the value lies within the range of the others: then the others are the ones that jump.</summary>
    private static bool IsMostLikelyTrue(double[] values, bool[] keep, double filler)
    {
        double[] others = [.. values.Where((v, i) => keep[i] && v != filler)];
        return others.Length == 0 || (filler > Robust.Quantile(others, 0.05) && filler < Robust.Quantile(others, 0.95));
    }

    private static void Add(Dictionary<double, List<double>> jumps, double value, double jump)
    {
        if (!jumps.TryGetValue(value, out List<double>? list))
        {
            jumps[value] = list = [];
        }

        list.Add(jump);
    }

    private static bool[] NearMedian(Series tempC)
    {
        double[] values = tempC.Values;
        bool[] keep = new bool[values.Length];
        Array.Fill(keep, true);
        if (values.Length < LeastReadings || GreatestStep(values) <= LeastJumpC)
        {
            return keep;
        }

        double everyS = (tempC.TimeS[^1] - tempC.TimeS[0]) / (values.Length - 1);
        double[] off = Departures(values, Math.Clamp((int)(MedianHalfS / everyS), LeastMedianHalf, MostMedianHalf));
        double limit = Math.Max(Math.Max(LeastJumpC, MostRateCps * everyS), SpikeDeviations * Robust.MedianAndMad(off).ScaledMad);
        for (int i = 0; i < values.Length; i++)
        {
            keep[i] = Math.Abs(off[i]) <= limit || !JumpsBeside(values, i, limit);
        }

        return keep;
    }

    private static bool JumpsBeside(double[] values, int at, double limit) =>
        (at > 0 && Math.Abs(values[at] - values[at - 1]) > limit)
        || (at + 1 < values.Length && Math.Abs(values[at] - values[at + 1]) > limit)
        || (at > 0 && at + 1 < values.Length && values[at] == values[at - 1] && values[at] == values[at + 1]);

    /// <summary>Each value minus the median of it and its neighbours up to a number of places away.</summary>
    private static double[] Departures(double[] values, int half)
    {
        double[] off = new double[values.Length],
            near = new double[2 * half + 1];
        for (int i = 0; i < values.Length; i++)
        {
            int first = Math.Max(0, i - half),
                count = Math.Min(values.Length, i + half + 1) - first;
            values.AsSpan(first, count).CopyTo(near);
            Span<double> all = near.AsSpan(0, count);
            off[i] = values[i] - Selection.Take(all, count / 2);
        }

        return off;
    }

    private static bool[] Turning(Series rpm, double typical)
    {
        double[] v = rpm.Values,
            t = rpm.TimeS;
        bool[] keep = new bool[v.Length];
        double[] next = new double[v.Length];
        double after = double.PositiveInfinity;
        for (int i = v.Length - 1; i >= 0; i--)
        {
            after = v[i] > TurningShare * typical ? t[i] : after;
            next[i] = after;
        }

        double before = double.NegativeInfinity;
        for (int i = 0; i < v.Length; i++)
        {
            before = v[i] > TurningShare * typical ? t[i] : before;
            keep[i] = v[i] >= StandingShare * typical || t[i] - before > StopAndStartS || next[i] - t[i] > StopAndStartS;
        }

        return keep;
    }

    private static void DropFillers(double[] values, double typical, bool[] keep)
    {
        double[] impossible = [.. values.Where(v => v > ImpossibleShare * typical)];
        double first = impossible.Length > 0 ? impossible[0] : double.NaN;
        bool oneValue = impossible.Length >= LeastVisits && Array.TrueForAll(impossible, v => v == first);
        for (int i = 0; i < values.Length; i++)
        {
            keep[i] &= values[i] >= 0 && (!oneValue || values[i] != first);
        }
    }

    private static bool[] WithoutSpikes(Series rpm, double typical)
    {
        double[] values = rpm.Values;
        bool[] keep = new bool[values.Length];
        Array.Fill(keep, true);
        if (values.Length < LeastReadings)
        {
            return keep;
        }

        double[] off = Departures(values, SpeedMedianHalf);
        double scatter = Robust.MedianAndMad([.. off.Where((_, i) => values[i] - off[i] > TurningShare * typical)]).ScaledMad;
        double everyS = (rpm.TimeS[^1] - rpm.TimeS[0]) / (values.Length - 1);
        int longest = Math.Max(1, (int)Math.Round(LongestSpikeS / everyS));
        double limit = Math.Max(
            (everyS <= FastReportsS ? SpikeShare : SlowSpikeShare) * typical,
            double.IsFinite(scatter) ? SpikeDeviations * scatter : 0
        );
        for (int i = 0; i < values.Length; i++)
        {
            int end = i;
            while (end < values.Length && Math.Abs(off[end]) > limit && values[end] - off[end] > TurningShare * typical)
            {
                end++;
            }

            // At the ends the median is that of one side only, and the other side may be take-off or landing.
            if (i > 0 && end > i && end < values.Length && end - i <= longest)
            {
                Array.Fill(keep, false, i, end - i);
            }

            i = Math.Max(i, end - 1);
        }

        return keep;
    }
}
