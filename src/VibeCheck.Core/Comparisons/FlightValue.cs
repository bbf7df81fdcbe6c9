using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>A quantity in one flight with its standard uncertainty from within that flight, dB or °C.</summary>
internal readonly record struct FlightValue(double Value, double U)
{
    /// <summary>A size in m/s² or rad/s as dB re 1 of that unit; null when it is not known, has no interval, or is not above 0.</summary>
    internal static FlightValue? InDb(Estimate size)
    {
        // A size without an interval may be wrong by any factor, so nothing can be compared with it.
        if (size is not { Value: double value, Ci95: Interval ci95 } || value <= 0)
        {
            return null;
        }

        // An interval that extends towards 0 has no lower limit in dB: it is limited to a quarter of the value, -12 dB.
        double low = Math.Max(ci95.Low, value / 4),
            high = Math.Max(ci95.High, low);
        return new(Db(value), Db(high / low) / 2 / 1.96);
    }

    /// <summary>An amount without conversion; null when it is not known or has no interval.</summary>
    internal static FlightValue? Plain(Estimate amount, double extraU = 0) =>
        amount is { Value: double value, Ci95: Interval ci95 }
            ? new(value, Math.Sqrt(Math.Pow(ci95.Width / 2 / 1.96, 2) + extraU * extraU))
            : null;

    internal static double Db(double ratio) => 20 * Math.Log10(ratio);

    internal static double FromDb(double db) => Math.Pow(10, db / 20);
}

/// <summary>A quantity in the flights before and after; flights in which it is not known are left out.</summary>
/// <param name="Before">Values before.</param>
/// <param name="After">Values after.</param>
/// <param name="Why">Why it is not known on one side or both; null when it is known on both.</param>
internal sealed record FlightValues(IReadOnlyList<FlightValue> Before, IReadOnlyList<FlightValue> After, Reason? Why)
{
    internal bool AreKnown => Before.Count > 0 && After.Count > 0;

    internal double MeanBefore => Before.Average(r => r.Value);

    internal double MeanAfter => After.Average(r => r.Value);

    /// <summary>Sum of the squared departures of flights from the mean of their side.</summary>
    internal double SquaresBetween => Before.Sum(r => Math.Pow(r.Value - MeanBefore, 2)) + After.Sum(r => Math.Pow(r.Value - MeanAfter, 2));

    /// <summary>Number of flights beyond the first on each side.</summary>
    internal int Freedom => Math.Max(0, Before.Count - 1) + Math.Max(0, After.Count - 1);

    /// <summary>Mean squared uncertainty within the flights of a side with several flights.</summary>
    internal double VarianceWithin
    {
        get
        {
            FlightValue[] several = [.. Several(Before), .. Several(After)];
            return several.Length == 0 ? 0 : several.Average(r => r.U * r.U);
        }
    }

    internal static FlightValues Of(
        IEnumerable<(FlightValue? Known, Reason? Why)> before,
        IEnumerable<(FlightValue? Known, Reason? Why)> after
    )
    {
        (FlightValue? Known, Reason? Why)[] b = [.. before],
            a = [.. after];
        FlightValue[] knownBefore = [.. b.Select(x => x.Known).OfType<FlightValue>()],
            knownAfter = [.. a.Select(x => x.Known).OfType<FlightValue>()];
        return new(
            knownBefore,
            knownAfter,
            (knownBefore.Length, knownAfter.Length) switch
            {
                (0, 0) => First(b.Concat(a)),
                (0, _) => new KnownOnOneSide(After: true, First(b)),
                (_, 0) => new KnownOnOneSide(After: false, First(a)),
                _ => null,
            }
        );
    }

    private static Reason First(IEnumerable<(FlightValue? Known, Reason? Why)> side) =>
        side.Select(x => x.Why).FirstOrDefault(w => w is not null) ?? new NotMeasured();

    private static IEnumerable<FlightValue> Several(IReadOnlyList<FlightValue> side) => side.Count > 1 ? side : [];
}
