using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>The step in which a sensor gave its temperatures, found from the written decimals.</summary>
/// <remarks>Readings in tenths of a degree that were multiplied by 1.25 and written in tenths again never show every fifth tenth; times
/// 0.8, every fourth tenth receives the readings of two. Sensors with steps of an eighth of a degree look the same, but in both
/// flights.</remarks>
internal static class TemperatureSteps
{
    private const int LeastGridValues = 5;

    // Periods of the pattern that are searched, in written steps, and the number of levels that each place of the period needs.
    private const int LeastPeriod = 3,
        MostPeriod = 8,
        LeastLevels = 12;

    // Readings at one place of the period relative to those at the usual place: at most the first for the emptiest, at least the second for
    // the fullest. Without a pattern all places hold the same within three tenths.
    private const double EmptyShare = 0.25,
        FullShare = 1.6,
        AlikeShare = 0.3;

    // Least number of written steps between two readings of a coarser sensor.
    private const double LeastCoarse = 4;

    /// <summary>The step of the sensor, °C; null where the units differ or show none.</summary>
    /// <param name="units">Readings of all units of a kind, °C.</param>
    internal static double? Of(IReadOnlyList<double[]> units)
    {
        double[] steps = [.. units.Select(GridStep).Where(s => s > 0)];
        if (steps.Length > 0)
        {
            return steps.Max() < 1.01 * steps.Min() ? steps[0] * PatternFactor(units, steps[0]) : null;
        }

        double[] coarse = [.. units.Select(CoarseStep).Where(s => s > 0)];
        return coarse.Length > 0 && coarse.Max() < 1.02 * coarse.Min() ? Robust.Median(coarse) : null;
    }

    /// <summary>Smallest distance between two readings where all readings are multiples of it, else 0.</summary>
    private static double GridStep(double[] values)
    {
        double[] distinct = [.. values.Distinct().Order()];
        if (distinct.Length < LeastGridValues)
        {
            return 0;
        }

        double step = distinct.Zip(distinct.Skip(1), (a, b) => b - a).Where(d => d > 1e-6).DefaultIfEmpty(0).Min();
        double Off(double value) => Math.Abs((value - distinct[0]) / step - Math.Round((value - distinct[0]) / step));
        return step > 0 && distinct.All(v => Off(v) < 0.05) ? step : 0;
    }

    /// <summary>The even step of readings that were rounded again to a finer one, else 0.</summary>
    private static double CoarseStep(double[] values)
    {
        double[] distinct = [.. values.Distinct().Order()];
        if (distinct.Length < LeastGridValues)
        {
            return 0;
        }

        // The written decimals are tenths, hundredths ... of a degree: the largest of these for which all readings are multiples.
        double written = new[] { 1, 0.1, 0.01 }.FirstOrDefault(w => distinct.All(v => Math.Abs(v / w - Math.Round(v / w)) < 0.01));
        double least = distinct.Zip(distinct.Skip(1), (a, b) => b - a).Min();
        if (written == 0 || least < LeastCoarse * written)
        {
            return 0;
        }

        // From the closest readings outwards: the number of steps between each pair of readings is counted with the step known so far.
        double step = least + written / 2;
        for (int round = 0; round < 4; round++)
        {
            double at = step;
            double[] counts = [.. distinct.Select(v => Math.Round((v - distinct[0]) / at))];
            double sum = counts.Sum(c => c * c);
            step = sum == 0 ? 0 : counts.Zip(distinct, (c, v) => c * (v - distinct[0])).Sum() / sum;
        }

        return
            step > 0 && distinct.All(v => Math.Abs((v - distinct[0]) / step - Math.Round((v - distinct[0]) / step)) * step < 1.1 * written)
            ? step
            : 0;
    }

    /// <summary>Step of the sensor divided by the written step, from levels that are never read or read twice as often; 1 without a
    /// pattern.</summary>
    private static double PatternFactor(IReadOnlyList<double[]> units, double step)
    {
        double origin = units.SelectMany(u => u).Min();
        int[] levels = [.. units.SelectMany(u => u).Select(v => (int)Math.Round((v - origin) / step))];
        if (levels.Length == 0 || levels.Max() > 100_000)
        {
            return 1;
        }

        var counts = new double[levels.Max() + 1];
        foreach (int level in levels)
        {
            counts[level]++;
        }

        for (int period = LeastPeriod; period <= MostPeriod; period++)
        {
            if (Places(counts, period) is { } places)
            {
                double[] sorted = [.. places.Order()];
                double usual = Robust.Median(places);
                double[] others = [.. sorted.Skip(1).SkipLast(1)];
                bool alike = others.Length > 0 && others.All(o => Math.Abs(o / usual - 1) < AlikeShare);
                if (alike && sorted[0] < EmptyShare * usual && sorted[^1] < (1 + AlikeShare) * usual)
                {
                    return (double)period / (period - 1);
                }

                if (alike && sorted[^1] > FullShare * usual && sorted[0] > (1 - AlikeShare) * usual)
                {
                    return (double)period / (period + 1);
                }
            }
        }

        return 1;
    }

    /// <summary>How often the levels at each place of a period are read, relative to the levels around them, median; null with too
    /// few.</summary>
    private static double[]? Places(double[] counts, int period)
    {
        List<double>[] places = [.. Enumerable.Range(0, period).Select(_ => new List<double>())];
        for (int level = period; level + period < counts.Length; level++)
        {
            double around = 0;
            for (int i = level - period; i <= level + period; i++)
            {
                around += counts[i] / (2 * period + 1);
            }

            // Far from all readings, or where few were made, an empty level gives no information.
            if (around >= 2)
            {
                places[level % period].Add(counts[level] / around);
            }
        }

        return places.Any(p => p.Count < LeastLevels) ? null : [.. places.Select(p => Robust.Median(p))];
    }
}
