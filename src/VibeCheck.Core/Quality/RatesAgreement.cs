using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Change of the orders on the acceleration minus their change on the rates.</summary>
/// <param name="Db">Weighted median over the lines, or their mean by power where that is further from 0, dB.</param>
/// <param name="StandardErrorDb">Its standard error, dB.</param>
/// <param name="Lines">Number of lines.</param>
/// <param name="AccelerationDb">Change of the lines on the acceleration alone, by power, dB.</param>
internal readonly record struct RatesChange(double Db, double StandardErrorDb, int Lines, double AccelerationDb);

/// <summary>Whether acceleration and rates show the same change of each order.</summary>
/// <remarks>A rotor line moves and rotates the airframe at the same time, and the ratio of the two depends on the airframe and on the place
/// of the motor. So both change by the same factor when the rotor changes; a fault of the accelerometer changes only one of them.</remarks>
internal static class RatesAgreement
{
    // A line must exceed the floor by this factor, in power, in both sensors and both flights.
    private const double LeastOverFloor = 5;

    private const int LeastLines = 3;

    // A line that disappeared from the acceleration in one flight, but not from the rates, counts from 6 dB on.
    private const double LostRatio = 0.25;

    // Undamaged simulated flights: median 0.4 dB over 20 pairs, less than 1 dB in 18 of them, and 1.8 dB with noisy speeds.
    private const double WidenDb = 1.2,
        WidenDbOfOneLine = 1.6,
        WithholdDb = 4;

    // A difference must exceed this many standard errors.
    private const double Significant = 3;

    // Relative change of a power to decibels: 10 / ln 10.
    private const double DbPerRelative = 4.3429448190325175;

    // Rates in degrees per second read as radians, or the reverse, are no fault of the acceleration. The rates then cause the whole
    // difference; where the acceleration causes most of it, the acceleration is at fault.
    private static readonly double UnitDb = 20 * Math.Log10(180 / Math.PI);

    private const double UnitToleranceDb = 3;

    /// <summary>The effect on the vibration of a difference between the changes on the two sensors; null for none.</summary>
    internal static QualityIssue? Judge(RatesChange change, Func<RatesChange, Reason> cause, double factor = 1)
    {
        double db = Math.Abs(change.Db) / factor;
        if (
            db < WidenDb + WidenDbOfOneLine / Math.Sqrt(change.Lines)
            || Math.Abs(change.Db) < Significant * change.StandardErrorDb
            || (Math.Abs(db * factor - UnitDb) < UnitToleranceDb && Math.Abs(change.AccelerationDb) < UnitDb / 2)
        )
        {
            return null;
        }

        return db >= WithholdDb
            ? new()
            {
                Cause = cause(change),
                Track = "imu",
                Effect = QualityEffect.Withheld,
                Affects = Answers.Vibration,
            }
            : new()
            {
                Cause = cause(change),
                Track = "imu",
                Effect = QualityEffect.Widened,
                Affects = Answers.Vibration,
                AddedDb = Math.Abs(change.Db),
            };
    }

    /// <summary>Change of acceleration relative to the change of rates, weighted median over all lines that are detected in both, dB; null
    /// with too few.</summary>
    internal static RatesChange? Of(
        ShortTimeOrders before,
        IEnumerable<ShortTimeOrders.Window> windowsBefore,
        ShortTimeOrders after,
        IEnumerable<ShortTimeOrders.Window> windowsAfter
    )
    {
        if (before.Channels < 6 || after.Channels < 6)
        {
            return null;
        }

        ShortTimeOrders.Window[] early = [.. windowsBefore],
            late = [.. windowsAfter];
        var changes = new List<(double Db, double Weight)>();
        double variance = 0,
            ofPower = 0,
            power = 0,
            powerVariance = 0,
            earlyPower = 0,
            latePower = 0;
        for (int i = 0; i < before.Lines.Count; i++)
        {
            int j = after.Lines.ToList().IndexOf(before.Lines[i]);
            if (j >= 0 && Ratios(before, i, early, after, j, late) is var (one, two))
            {
                double weight = Math.Sqrt(Math.Sqrt(one.Power * two.Power));
                changes.Add((10 * Math.Log10(two.Value / one.Value), weight));
                variance += weight * weight * (one.RelativeVariance + two.RelativeVariance);
                earlyPower += one.Power;
                latePower += two.Power;
                double larger = Math.Max(one.Power, two.Power);
                power += larger;
                ofPower += larger * changes[^1].Db;
                powerVariance += larger * larger * (one.RelativeVariance + two.RelativeVariance);
            }
        }

        if (changes.Count < LeastLines)
        {
            return null;
        }

        double accelerationDb = 10 * Math.Log10(latePower / earlyPower),
            median = WeightedMedian(changes),
            spread = WeightedMedian([.. changes.Select(c => (Math.Abs(c.Db - median), c.Weight))]);

        // For a median, 1.25 times that of a mean; from both the scatter of the lines and their noise.
        double scatter = 1.25 * 1.4826 * spread / Math.Sqrt(changes.Count);
        double noise = 1.25 * DbPerRelative * Math.Sqrt(variance) / changes.Sum(c => c.Weight);
        RatesChange ofMost = new(median, Math.Max(scatter, noise), changes.Count, accelerationDb);

        // A notch removes power from the orders that carry most of it, and leaves the many small ones unchanged.
        RatesChange ofAll = new(ofPower / power, DbPerRelative * Math.Sqrt(powerVariance) / power, changes.Count, accelerationDb);
        return Math.Abs(ofAll.Db) > Math.Abs(ofMost.Db) ? ofAll : ofMost;
    }

    /// <summary>The ratios of a line in two sets of windows; null where it is not clearly detected in both.</summary>
    private static (Ratio One, Ratio Two)? Ratios(
        ShortTimeOrders before,
        int i,
        ShortTimeOrders.Window[] early,
        ShortTimeOrders after,
        int j,
        ShortTimeOrders.Window[] late
    )
    {
        Ratio? one = RatioOf(before, i, early),
            two = RatioOf(after, j, late);
        return (one, two) switch
        {
            ({ } a, { } b) => (a, b),
            ({ } a, null) when AtMost(after, j, late) is { } b && b.Value < LostRatio * a.Value => (a, b),
            (null, { } b) when AtMost(before, i, early) is { } a && a.Value < LostRatio * b.Value => (a, b),
            _ => null,
        };
    }

    /// <summary>Upper limit of the ratio where the rates show a line that the acceleration does not; else null.</summary>
    private static Ratio? AtMost(ShortTimeOrders orders, int line, ShortTimeOrders.Window[] windows)
    {
        (double acceleration, double floor) = orders.Mean(line, 0, windows);
        (double rates, double rateFloor) = orders.Mean(line, 3, windows);
        double most = (LeastOverFloor - 1) * floor;
        return acceleration <= LeastOverFloor * floor && rates > LeastOverFloor * rateFloor && floor > 0
            ? new(most / (rates - rateFloor), most, (Scatter(LeastOverFloor * floor, floor) + Scatter(rates, rateFloor)) / windows.Length)
            : null;
    }

    /// <summary>Power on the acceleration divided by power on the rates; null where one is not clear of its floor.</summary>
    private static Ratio? RatioOf(ShortTimeOrders orders, int line, ShortTimeOrders.Window[] windows)
    {
        (double acceleration, double floor) = orders.Mean(line, 0, windows);
        (double rates, double rateFloor) = orders.Mean(line, 3, windows);
        return acceleration > LeastOverFloor * floor && rates > LeastOverFloor * rateFloor
            ? new(
                (acceleration - floor) / (rates - rateFloor),
                acceleration - floor,
                (Scatter(acceleration, floor) + Scatter(rates, rateFloor)) / windows.Length
            )
            : null;
    }

    /// <summary>Relative variance of the power of a steady line with noise in one window: 2 F / P + (F / P)², where F is the floor and P
    /// the line without it (noncentral chi-square with 2 degrees of freedom).</summary>
    private static double Scatter(double power, double floor)
    {
        double share = floor / (power - floor);
        return 2 * share + share * share;
    }

    /// <param name="Value">Power on the acceleration divided by power on the rates, (m/rad s)².</param>
    /// <param name="Power">Power on the acceleration, (m/s²)².</param>
    /// <param name="RelativeVariance">Relative variance of the ratio.</param>
    private readonly record struct Ratio(double Value, double Power, double RelativeVariance);

    private static double WeightedMedian(IReadOnlyList<(double Value, double Weight)> values)
    {
        double half = values.Sum(v => v.Weight) / 2,
            sum = 0;
        foreach ((double value, double weight) in values.OrderBy(v => v.Value))
        {
            sum += weight;
            if (sum >= half)
            {
                return value;
            }
        }

        return values[^1].Value;
    }
}
