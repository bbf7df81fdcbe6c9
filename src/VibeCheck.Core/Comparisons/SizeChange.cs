using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Change of a part of the vibration whose interval may extend to zero. In dB such an interval has a short upper and a long lower
/// half. The question is whether the smaller side may be as large as the larger one, so the facing halves decide, and the opposite halves
/// give the far end of the interval (R. Barlow, Asymmetric Errors, PHYSTAT 2003, from memory).</summary>
internal sealed class SizeChange
{
    private readonly Change? _away;
    private readonly Reason? _why;

    /// <param name="flights">All flights.</param>
    /// <param name="size">The part in one flight, rms, m/s².</param>
    /// <param name="scatterDb">Its standard deviation from flight to flight, dB, unless the flights show it.</param>
    /// <param name="leastMps2">A smaller size is treated as this large: a change from nothing has no size in dB.</param>
    internal SizeChange(FlightSet flights, Func<VibrationAccount, Estimate> size, double scatterDb, double leastMps2)
    {
        FlightValues ByHalf(bool upperBefore, bool upperAfter) =>
            FlightValues.Of(
                flights.Before.Select(f => Read(size(f.Analysis.Accounting!), leastMps2, upperBefore)),
                flights.After.Select(f => Read(size(f.Analysis.Accounting!), leastMps2, upperAfter))
            );
        FlightValues first = ByHalf(true, false);
        bool rises = first.AreKnown && first.MeanAfter > first.MeanBefore;
        FlightValues facing = rises ? first : ByHalf(false, true),
            away = rises ? ByHalf(false, true) : first;
        FlightScatter scatter = FlightScatter.Of(scatterDb, [facing]);
        (Facing, _away, _why) = (Change.Of(facing, scatter), Change.Of(away, scatter), facing.Why);
    }

    /// <summary>The change with the uncertainty towards no change; null where it is not known.</summary>
    internal Change? Facing { get; }

    /// <summary>The change with both ends of its interval, dB.</summary>
    internal Estimate ChangeDb =>
        Facing is not { } near || _away is not { } far ? Estimate.Unknown(_why ?? new NotMeasured())
        : near.Value > 0 ? Estimate.Of(near.Value, new(near.Value - near.Half95, near.Value + far.Half95))
        : Estimate.Of(near.Value, new(near.Value - far.Half95, near.Value + near.Half95));

    private static (FlightValue? Known, Reason? Why) Read(Estimate size, double least, bool upper)
    {
        if (size is not { Value: double value, Ci95: Interval ci95 })
        {
            return (null, size.Why);
        }

        double at = Math.Max(least, value),
            end = Math.Max(least, upper ? ci95.High : ci95.Low);
        return (new FlightValue(FlightValue.Db(at), Math.Abs(FlightValue.Db(end / at)) / 1.96), null);
    }
}
