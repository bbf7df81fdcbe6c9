using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>The step in which a sensor gave its temperatures, seen through the decimals in which they were written.</summary>
/// <remarks>Readings in tenths of a degree that were multiplied by 1.25 and written in tenths again never show every fifth tenth; times
/// 0.8, every fourth tenth takes the readings of two. Sensors with steps of an eighth of a degree look like that too, but in both
/// flights.</remarks>
internal static class TemperatureSteps
{
    private const int LeastGridValues = 5;

    // Periods of the pattern that are looked for, in written steps, and how many levels each place of the period needs.
    private const int LeastPeriod = 3,
        MostPeriod = 8,
        LeastLevels = 12;

    // Readings on one place of the period over those on the usual place: of the emptiest at most, of the fullest at least. Without a
    // pattern all places hold the same within a fifth.
    private const double EmptyShare = 0.25,
        FullShare = 1.6,
        AlikeShare = 0.3;

    // Written steps between two readings of a coarser sensor, at least.
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

    /// <summary>Smallest distance between two readings where all readings lie on its multiples, else 0.</summary>
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

    /// <summary>The even step of readings that were rounded once more to a finer one, else 0.</summary>
    private static double CoarseStep(double[] values)
    {
        double[] distinct = [.. values.Distinct().Order()];
        if (distinct.Length < LeastGridValues)
        {
            return 0;
        }

        // The decimals written are a tenth, a hundredth ... of a degree: the largest of them on which all readings lie.
        double written = new[] { 1, 0.1, 0.01 }.FirstOrDefault(w => distinct.All(v => Math.Abs(v / w - Math.Round(v / w)) < 0.01));
        double least = distinct.Zip(distinct.Skip(1), (a, b) => b - a).Min();
        if (written == 0 || least < LeastCoarse * written)
        {
            return 0;
        }

        // From the closest readings outwards: the multiples of the step between all readings are counted with the step known so far.
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

    /// <summary>Step of the sensor over the step written, from levels that are never or twice as often read; 1 without a pattern.</summary>
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

    /// <summary>How often the levels at each place of a period are read, against the levels around them, median; null with too
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

            // Far from all readings, or where few were made, an empty level says nothing.
            if (around >= 2)
            {
                places[level % period].Add(counts[level] / around);
            }
        }

        return places.Any(p => p.Count < LeastLevels) ? null : [.. places.Select(p => Robust.Median(p))];
    }
}
