using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether two flights were recorded in the same way: same scale, same filter, same axes.</summary>
/// <remarks>A filter or a scale that only one flight has looks exactly like a change of the vibration. It shows in quantities that do not
/// depend on the aircraft: the size of gravity, and the noise floor beside the lines.</remarks>
internal sealed class RecorderPair(Flight before, FlightAnalysis one, Flight after, FlightAnalysis two)
{
    private const double MostGravityChange = 0.04;
    private const double AbsentMps2 = 0.7;

    // As shares of the lower sample rate: the band above the lowest part, and the lowest part.
    private const double WideFrom = 0.1,
        WideTo = 0.47,
        LowTo = 0.06;

    private const double MattersDb = 0.7,
        PerhapsMattersDb = 0.25;

    private const double AxisDb = 3.5,
        AxisOrdersDb = 2.5;

    // In the orders alone: a reworked mount turns a line from one axis to another, but not those of all motors alike.
    private const double LostOrdersDb = 8;
    private const int LeastShares = 4;

    // A floor that is raised in all bands on all axes, and the added power relative to that of the orders.
    private const double RaisedDb = 3,
        RaisedShare = 0.12;
    private const double NotchDb = 7;

    // Depth of the hole in the flight that has it. Where the line was only stronger in the other flight, the skirts of the line raised the
    // floor there.
    private const double OwnHoleDb = 2;

    // The floor of only one axis, in every part of the band.
    private const double AxisFloorDb = 9;

    // Rates that differ by this much come from different settings of the logger, not from its clock.
    private const double MostRateLog = 0.03,
        WorthLossDb = 0.1;

    // The true loss is between none and all of it. The 95 % interval extends half beyond all of it, because some recorders average over
    // more than their interval.
    private const double AveragedShare = 0.75;
    private const double LargeChangeDb = 12,
        SupportDb = 4,
        MovedShare = 0.5;

    private readonly double _rateHz = Math.Min(before.Imu.RateHz, after.Imu.RateHz);
    private readonly FloorPair _floors = new(one, two, Math.Min(before.Imu.RateHz, after.Imu.RateHz));

    internal IEnumerable<QualityIssue> Find()
    {
        if (!Vibration(one).IsKnown || !Vibration(two).IsKnown)
        {
            yield break;
        }

        Reason? cause = Gravity();
        cause ??= Filter();
        cause ??= Axis();
        cause ??= AxisOrders();
        cause ??= AxisFloor();

        // The lines of a group fill the band around an order: no floor remains there in which a notch would show.
        cause ??= _byGroup ? null : Notch();
        cause ??= Raised();
        cause ??= Support();
        cause ??= Folded();
        if (cause is not null)
        {
            yield return new()
            {
                Cause = cause,
                Track = "imu",
                Channel = (cause as AxisScaleDiffers)?.Axis ?? (cause as AxisLosesOrders)?.Axis ?? (cause as AxisFloorDiffers)?.Axis,
                Effect = QualityEffect.Withheld,
                Affects = Answers.Vibration,
            };
        }
        else if (Rates() is { } issue)
        {
            yield return issue;
        }
        else if (FilterDoubt() is { } filtered)
        {
            yield return filtered;
        }
        else if (SampleRates() is { } averaged)
        {
            yield return averaged;
        }
    }

    /// <summary>Loggers with different rates: it cannot be seen whether the slower one averages over its interval, so that loss is counted
    /// as uncertainty.</summary>
    private QualityIssue? SampleRates()
    {
        if (Math.Abs(Math.Log(before.Imu.RateHz / after.Imu.RateHz)) < MostRateLog)
        {
            return null;
        }

        double all = 0,
            left = 0;
        foreach ((OrderLevel a, OrderLevel b, double hz) in Orders())
        {
            double x = Math.PI * hz / _rateHz,
                gain = x > 0 ? Math.Sin(x) / x : 1;
            double power = a.RmsMps2.Value!.Value * a.RmsMps2.Value.Value + b.RmsMps2.Value!.Value * b.RmsMps2.Value.Value;
            all += power;
            left += power * gain * gain;
        }

        double lossDb = all > 0 ? -10 * Math.Log10(left / all) : 0;
        return lossDb < WorthLossDb
            ? null
            : new()
            {
                Cause = new SampleRatesDiffer(before.Imu.RateHz, after.Imu.RateHz, lossDb),
                Track = "imu",
                Effect = QualityEffect.Widened,
                Affects = Answers.Vibration,
                AddedDb = AveragedShare * lossDb,
            };
    }

    /// <summary>An order that is within the band of one logger and that the other folds at half its sample rate, attenuated by an unknown
    /// amount of its filter. Two loggers with the same rate treat an order alike whether it is slightly below or slightly above half the
    /// rate.</summary>
    private FoldedInOneFlight? Folded() =>
        Math.Abs(Math.Log(before.Imu.RateHz / after.Imu.RateHz)) < MostRateLog
            ? null
            : (
                from a in one.Motors
                join b in two.Motors on a.Id equals b.Id
                from x in a.Orders
                from y in b.Orders
                where x.Order == y.Order && x.RmsMps2.IsKnown && y.RmsMps2.IsKnown && x.FoldedFromHz is null != y.FoldedFromHz is null
                select new FoldedInOneFlight(x.FoldedFromHz ?? y.FoldedFromHz!.Value, _rateHz)
            ).FirstOrDefault();

    private QualityIssue? Rates() =>
        one.ShortTimeOrders is { } a && two.ShortTimeOrders is { } b && RatesAgreement.Of(a, a.Windows, b, b.Windows) is { } change
            ? RatesAgreement.Judge(change, c => new RatesDisagree(c.Db, c.Lines))
            : null;

    /// <summary>Whether the rotors are known only as a group, because speeds are missing in one of the flights.</summary>
    private readonly bool _byGroup = !one.RotorVibrationMps2.IsKnown || !two.RotorVibrationMps2.IsKnown;

    private Estimate Vibration(FlightAnalysis of) => _byGroup && of.Group is { } group ? group.TotalMps2 : of.RotorVibrationMps2;

    private GravityDiffers? Gravity()
    {
        double? a = GravityCheck.Mean(before.Imu, ContiguousSegment.Within(before.Imu, one.Hover.Segments)),
            b = GravityCheck.Mean(after.Imu, ContiguousSegment.Within(after.Imu, two.Hover.Segments));
        bool both = a > AbsentMps2 && b > AbsentMps2,
            none = a <= AbsentMps2 && b <= AbsentMps2;
        return none || a is null || b is null || (both && Math.Abs(b.Value / a.Value - 1) <= MostGravityChange)
            ? null
            : new(a.Value, b.Value);
    }

    private RecorderFilterDiffers? Filter() =>
        FloorBend.Of(_floors.Change) is { Bends: true } bend && LostByFilterDb(bend) is double db && Math.Abs(db) > MattersDb
            ? new(bend.TopDb, bend.MiddleDb, db)
            : null;

    /// <summary>A floor whose bend is not certain, or whose bend has little effect on the orders: that effect is counted as
    /// uncertainty.</summary>
    private QualityIssue? FilterDoubt() =>
        FloorBend.Of(_floors.Change) is { MayBend: true } bend && LostByFilterDb(bend) is double db && Math.Abs(db) > PerhapsMattersDb
            ? new()
            {
                Cause = new RecorderFilterDiffers(bend.TopDb, bend.MiddleDb, db),
                Track = "imu",
                Effect = QualityEffect.Widened,
                Affects = Answers.Vibration,
                AddedDb = Math.Abs(db),
            }
            : null;

    /// <summary>The change at the orders caused by a filter that only one flight has, weighted by their power, dB; null without orders. The
    /// larger of two estimates: the floor beside the orders relative to its lowest part, which wind may hide; and a low-pass filter fitted
    /// to the whole floor, which requires a floor that bends like one.</summary>
    private double? LostByFilterDb(FloorBend bend)
    {
        double[] low = [.. _floors.Change(0, LowTo)];
        double lowDb = low.Length == 3 ? Robust.UpperMedian(low) : 0;
        double? beside = AtOrders(f => FloorAt(f) - lowDb);
        if (beside is null || LowPassChange.Through(_floors.Change, bend.TopDb) is not { } lowPass)
        {
            return beside;
        }

        double fitted = AtOrders(f => lowPass.Db(f)) ?? 0;
        return Math.Abs(fitted) > Math.Abs(beside.Value) ? fitted : beside;
    }

    private double? FloorAt(double share)
    {
        double[] local = [.. _floors.Change(share * 0.8, share * 1.25)];
        return local.Length == 3 ? Robust.UpperMedian(local) : null;
    }

    /// <summary>A change at the frequencies of the orders, weighted by their power, dB; null without orders.</summary>
    /// <param name="changeDb">Change at a frequency given as a share of the sample rate, dB; null where it is not known.</param>
    private double? AtOrders(Func<double, double?> changeDb)
    {
        double weights = 0,
            sum = 0;
        foreach ((OrderLevel a, OrderLevel b, double hz) in Orders())
        {
            double weight = Math.Max(a.RmsMps2.Value!.Value, b.RmsMps2.Value!.Value);
            if (changeDb(hz / _rateHz) is double db)
            {
                weights += weight * weight;
                sum += weight * weight * db;
            }
        }

        return weights > 0 ? sum / weights : null;
    }

    private AxisScaleDiffers? Axis()
    {
        double[] wide = [.. _floors.Change(WideFrom, WideTo)];
        if (wide.Length < 3)
        {
            return null;
        }

        for (int axis = 0; axis < 3; axis++)
        {
            double others = (wide[(axis + 1) % 3] + wide[(axis + 2) % 3]) / 2,
                floor = wide[axis] - others;
            double[] shares = [.. Orders().Select(o => Share(o.Before, o.After, axis)).OfType<double>()];
            double orders = shares.Length < 3 ? double.NaN : Robust.UpperMedian(shares);
            if (
                Math.Abs(floor) > AxisDb
                && Math.Abs(wide[(axis + 1) % 3] - wide[(axis + 2) % 3]) < AxisDb
                && Math.Abs(orders) > AxisOrdersDb
                && Math.Sign(orders) == Math.Sign(floor)
            )
            {
                return new($"acc_{"xyz"[axis]}", floor, orders);
            }
        }

        return null;
    }

    /// <summary>An axis whose floor changed in all parts of the band while that of the other axes did not.</summary>
    private AxisFloorDiffers? AxisFloor()
    {
        if (_floors.BandChanges() is not { } bands)
        {
            return null;
        }

        for (int axis = 0; axis < 3; axis++)
        {
            double[] apart = [.. bands.Select(b => Apart(b[axis], b[(axis + 1) % 3], b[(axis + 2) % 3]))];
            if (apart.Select(Math.Sign).Distinct().Count() == 1 && apart.Min(Math.Abs) > AxisFloorDb)
            {
                return new($"acc_{"xyz"[axis]}", apart.MinBy(Math.Abs));
            }
        }

        return null;
    }

    /// <summary>Signed distance of a value from the nearer of two others; 0 between them.</summary>
    private static double Apart(double value, double one, double other) =>
        value > Math.Max(one, other) ? value - Math.Max(one, other)
        : value < Math.Min(one, other) ? value - Math.Min(one, other)
        : 0;

    /// <summary>An axis that lost or gained its part of all orders: it holds noise, or another sensor.</summary>
    private AxisLosesOrders? AxisOrders()
    {
        for (int axis = 0; axis < 3; axis++)
        {
            double[] shares = [.. Orders().Select(o => Share(o.Before, o.After, axis)).OfType<double>()];
            double orders = shares.Length < LeastShares ? 0 : Robust.UpperMedian(shares);
            if (Math.Abs(orders) > LostOrdersDb)
            {
                return new($"acc_{"xyz"[axis]}", orders);
            }
        }

        return null;
    }

    /// <summary>A floor that is higher over the whole band in one flight, by a power that matters relative to its orders, and flat. Noise
    /// from air and frame has a shape; rows out of place turn every line into white noise.</summary>
    private FloorRaised? Raised()
    {
        if (_floors.BandChanges() is not { } bands)
        {
            return null;
        }

        double[] changes = [.. bands.SelectMany(b => b)];
        double least = changes.MinBy(Math.Abs);
        if (changes.Select(Math.Sign).Distinct().Count() > 1)
        {
            return null;
        }

        (FlightAnalysis high, FlightAnalysis low) = least > 0 ? (two, one) : (one, two);
        double added = _floors.Power(high) - _floors.Power(low),
            share = added / Math.Pow(Vibration(high).Value!.Value, 2);
        return Math.Abs(least) > RaisedDb && share > RaisedShare && _floors.IsFlat(high) ? new(least, share) : null;
    }

    /// <summary>Change of one axis relative to the others in one order, dB.</summary>
    private static double? Share(OrderLevel before, OrderLevel after, int axis)
    {
        if (before.PerAxisMps2 is not { Count: 3 } a || after.PerAxisMps2 is not { Count: 3 } b)
        {
            return null;
        }

        double Others(IReadOnlyList<double> all) => Math.Sqrt(all.Sum(v => v * v) - all[axis] * all[axis]);
        double ratio = b[axis] / Math.Max(1e-9, Others(b)) / (a[axis] / Math.Max(1e-9, Others(a)));
        return ratio > 0 && double.IsFinite(ratio) ? 20 * Math.Log10(ratio) : null;
    }

    /// <summary>A narrow hole in the floor of one flight, on all axes, where an order lies that moved with it.</summary>
    private NotchDiffers? Notch()
    {
        foreach ((OrderLevel a, OrderLevel b, double hz) in Orders())
        {
            double moved = 20 * Math.Log10(b.RmsMps2.Value!.Value / a.RmsMps2.Value!.Value);
            if (
                _floors.HoleAt(hz) is { } hole
                && Math.Abs(hole.MedianDb) > NotchDb
                && Math.Sign(hole.MedianDb) == Math.Sign(moved)
                && Math.Abs(moved) > 3
                && hole.OwnDb < -OwnHoleDb
            )
            {
                return new(hz, hole.MedianDb);
            }
        }

        return null;
    }

    /// <summary>Checks that a very large change of the orders shows in the level of the total acceleration.</summary>
    private ChangeUnsupported? Support()
    {
        double first = Vibration(one).Value!.Value,
            second = Vibration(two).Value!.Value,
            ordersDb = 20 * Math.Log10(second / first);
        double a = LevelSquared(one),
            b = LevelSquared(two);
        if (Math.Abs(ordersDb) < LargeChangeDb || a <= 0 || b <= 0)
        {
            return null;
        }

        // The rest of the level is taken from the flight with the smaller orders.
        double large = Math.Pow(Math.Max(first, second), 2);
        double small = Math.Pow(Math.Min(first, second), 2);
        double rest = Math.Max(0, (ordersDb < 0 ? b : a) - small);
        double expected = 10 * Math.Log10((rest + small) / (rest + large)) * (ordersDb < 0 ? 1 : -1),
            level = 10 * Math.Log10(b / a);

        // Alternatively, the power lost by the orders is now beside them: the lines have moved, they are not gone.
        double moved = rest - Math.Max(0, (ordersDb < 0 ? a : b) - large);
        return Math.Abs(level - expected) > SupportDb || moved > MovedShare * (large - small) ? new(ordersDb, level, expected) : null;
    }

    private static double LevelSquared(FlightAnalysis analysis) =>
        analysis.Levels.Where(l => l.Channel.StartsWith("acc_", StringComparison.Ordinal)).Sum(l => l.Rms.Value * l.Rms.Value ?? 0);

    /// <summary>Orders that are known in both flights, with their frequency.</summary>
    private IEnumerable<(OrderLevel Before, OrderLevel After, double Hz)> Orders() =>
        _byGroup
            ? GroupOrders()
            : from a in one.Motors
            join b in two.Motors on a.Id equals b.Id
            from x in a.Orders
            from y in b.Orders
            where x.Order == y.Order && x.RmsMps2.Value > 0 && y.RmsMps2.Value > 0 && a.RpmMean.IsKnown && x.FoldedFromHz is null
            select (x, y, x.Order * a.RpmMean.Value!.Value / 60);

    private IEnumerable<(OrderLevel Before, OrderLevel After, double Hz)> GroupOrders() =>
        from x in one.Group?.Lines ?? []
        join y in two.Group?.Lines ?? [] on x.Order equals y.Order
        where x.RmsMps2.Value > 0 && y.RmsMps2.Value > 0
        select (x, y, x.Order * one.Group!.BaseHz!.Value);
}
