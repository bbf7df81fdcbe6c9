using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Change of the orders on the acceleration less their change on the rates.</summary>
/// <param name="Db">Weighted median over the lines, or their mean by power where that is farther from 0, dB.</param>
/// <param name="StandardErrorDb">Its standard error, dB.</param>
/// <param name="Lines">How many lines.</param>
/// <param name="AccelerationDb">Change of the lines on the acceleration alone, by power, dB.</param>
internal readonly record struct RatesChange(double Db, double StandardErrorDb, int Lines, double AccelerationDb);

/// <summary>Whether acceleration and rates tell the same story about each order.</summary>
/// <remarks>A rotor line shakes and turns the airframe at once, and the ratio of the two belongs to the airframe and to the place of
/// the motor. So both change by the same factor when the rotor changes; a fault of the accelerometer changes one alone.</remarks>
internal static class RatesAgreement
{
    // A line must stand so far above the floor, in power, in both sensors and flights.
    private const double LeastOverFloor = 5;

    private const int LeastLines = 3;

    // A line that the acceleration lost in one flight, and the rates did not, counts from 6 dB on.
    private const double LostRatio = 0.25;

    // Undamaged simulated flights: 0.4 dB in the middle of 20 pairs, under 1 dB in 18, and 1.8 dB with noisy speeds.
    private const double WidenDb = 1.2,
        WidenDbOfOneLine = 1.6,
        WithholdDb = 4;

    // Standard errors that a difference must exceed.
    private const double Significant = 3;

    // Relative change of a power to decibels: 10 / ln 10.
    private const double DbPerRelative = 4.3429448190325175;

    // Rates in degrees per second taken for radians, or the other way, are no fault of the acceleration. Then the rates make the whole
    // difference; where the acceleration makes most of it, the acceleration is at fault.
    private static readonly double UnitDb = 20 * Math.Log10(180 / Math.PI);

    private const double UnitToleranceDb = 3;

    /// <summary>What a difference between the changes on the two sensors does to the vibration; null for nothing.</summary>
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

    /// <summary>Change of acceleration against change of rates, weighted median over all lines
    /// seen in both, dB; null with too few.</summary>
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

        // Of a median, 1.25 times that of a mean; both as the lines scatter and as their noise tells.
        double scatter = 1.25 * 1.4826 * spread / Math.Sqrt(changes.Count);
        double noise = 1.25 * DbPerRelative * Math.Sqrt(variance) / changes.Sum(c => c.Weight);
        RatesChange ofMost = new(median, Math.Max(scatter, noise), changes.Count, accelerationDb);

        // A notch takes from the orders that carry the power, and leaves the many small ones as they are.
        RatesChange ofAll = new(ofPower / power, DbPerRelative * Math.Sqrt(powerVariance) / power, changes.Count, accelerationDb);
        return Math.Abs(ofAll.Db) > Math.Abs(ofMost.Db) ? ofAll : ofMost;
    }

    /// <summary>The ratios of a line in two sets of windows; null where it is not seen well enough in both.</summary>
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

    /// <summary>The most that the ratio can be where the rates show a line that the acceleration does not; else null.</summary>
    private static Ratio? AtMost(ShortTimeOrders orders, int line, ShortTimeOrders.Window[] windows)
    {
        (double acceleration, double floor) = orders.Mean(line, 0, windows);
        (double rates, double rateFloor) = orders.Mean(line, 3, windows);
        double most = (LeastOverFloor - 1) * floor;
        return acceleration <= LeastOverFloor * floor && rates > LeastOverFloor * rateFloor && floor > 0
            ? new(most / (rates - rateFloor), most, (Scatter(LeastOverFloor * floor, floor) + Scatter(rates, rateFloor)) / windows.Length)
            : null;
    }

    /// <summary>Power on the acceleration over power on the rates; null where one is not clear of its floor.</summary>
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

    /// <summary>Relative variance of the power of a steady line with noise in one window: 2 F
    /// / P + (F / P)², F and P the floor and the line
    /// without it (noncentral chi-square with 2 degrees of freedom).</summary>
    private static double Scatter(double power, double floor)
    {
        double share = floor / (power - floor);
        return 2 * share + share * share;
    }

    /// <param name="Value">Power on the acceleration over power on the rates, (m/rad s)².</param>
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
