using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Applies faults of a log to the results: what they withhold becomes unknown, what they make uncertain gets a wider
/// interval.</summary>
public static class QualityEffects
{
    /// <summary>Converts decibels to a relative change of an amplitude: ln(10) / 20.</summary>
    private const double RelativePerDb = 0.11512925464970229;

    private const double Half95PerU = 1.96;

    /// <summary>The analysis with the effects of the issues applied to its numbers, and the issues added to
    /// <see cref="FlightAnalysis.Quality"/>.</summary>
    public static FlightAnalysis Apply(FlightAnalysis analysis, IReadOnlyList<QualityIssue> issues)
    {
        ArgumentNullException.ThrowIfNull(analysis);
        ArgumentNullException.ThrowIfNull(issues);
        if (issues.Count == 0)
        {
            return analysis;
        }

        Reason? noVibration = Withheld(issues, Answers.Vibration, null);

        // The trim needs the speeds of all motors.
        Reason? noTrim = issues.FirstOrDefault(i => i is { Effect: QualityEffect.Withheld, Cause: SpeedsRenumbered })?.Cause;
        noTrim ??= AnySpeed(issues);
        Reason? noTotal =
            noVibration ?? issues.FirstOrDefault(i => i.Effect == QualityEffect.Withheld && i.Affects.HasFlag(Answers.Vibration))?.Cause;
        double addedDb = AddedDb(issues, null);
        return analysis with
        {
            Quality = [.. analysis.Quality, .. issues],
            RotorVibrationMps2 = Level(analysis.RotorVibrationMps2, noTotal, addedDb),
            Group = analysis.Group is { } group ? Group(group, noTotal, addedDb) : null,
            Accounting = analysis.Accounting is { } account ? Account(account, noTotal, issues, addedDb) : null,
            Levels = [.. analysis.Levels.Select(l => l with { Rms = Level(l.Rms, noVibration, addedDb) })],
            Motors = [.. analysis.Motors.Select(m => Motor(m, issues))],
            YawTrim = noTrim is null ? analysis.YawTrim : analysis.YawTrim with { Split = Estimate.Unknown(noTrim) },
        };
    }

    /// <summary>Why the speed of any motor is not known.</summary>
    private static Reason? AnySpeed(IReadOnlyList<QualityIssue> issues) =>
        issues.FirstOrDefault(i => i.Effect == QualityEffect.Withheld && i.Affects.HasFlag(Answers.Speeds))?.Cause;

    private static MotorAnalysis Motor(MotorAnalysis motor, IReadOnlyList<QualityIssue> issues)
    {
        Reason? noOrders = Withheld(issues, Answers.Vibration, motor.Id) ?? Withheld(issues, Answers.MotorOrders, motor.Id);
        Reason? noSpeed = Withheld(issues, Answers.Speeds, motor.Id);

        // A share is relative to the load of all motors.
        Reason? noShare = noSpeed ?? AnySpeed(issues);
        double addedDb = AddedDb(issues, motor.Id);
        return motor with
        {
            RpmMean = noSpeed is null ? motor.RpmMean : Estimate.Unknown(noSpeed),
            LoadShare = noShare is null ? motor.LoadShare : Estimate.Unknown(noShare),
            Orders = [.. motor.Orders.Select(o => Order(o, noOrders, addedDb))],
            UnbalanceGmm = Level(motor.UnbalanceGmm, noOrders ?? noSpeed, addedDb),
            RotorMassWithinG63G = noOrders is null && noSpeed is null ? motor.RotorMassWithinG63G : null,
            MotorTemp = Rise(motor.MotorTemp, issues, Answers.MotorTemperatures, motor.Id),
            EscTemp = Rise(motor.EscTemp, issues, Answers.EscTemperatures, motor.Id),
        };
    }

    private static VibrationAccount Account(VibrationAccount account, Reason? withheld, IReadOnlyList<QualityIssue> issues, double addedDb)
    {
        // The parts are adjusted to add up to the total, so a false total makes all of them false.
        if ((withheld ?? issues.Select(i => i.Cause).FirstOrDefault(FalseSamples.HideTotal)) is Reason noTotal)
        {
            return account.Unknown(noTotal);
        }

        Reason? noBroadband = issues.Select(i => i.Cause).FirstOrDefault(FalseSamples.HideBroadband);
        return account with
        {
            TotalMps2 = Level(account.TotalMps2, null, addedDb),
            Parts =
            [
                .. account.Parts.Select(p =>
                    noBroadband is not null && p.Kind is (VibrationPartKind.Broadband or VibrationPartKind.Knocks)
                        ? new VibrationPart(p.Kind, Estimate.Unknown(noBroadband), null)
                        : p with
                        {
                            Mps2 = Level(p.Mps2, null, addedDb),
                        }
                ),
            ],
        };
    }

    private static GroupResult Group(GroupResult group, Reason? withheld, double addedDb) =>
        withheld is not null
            ? GroupResult.Unknown(withheld)
            : group with
            {
                TotalMps2 = Level(group.TotalMps2, null, addedDb),
                Orders = [.. group.Orders.Select(o => o with { RmsMps2 = Level(o.RmsMps2, null, addedDb) })],
                AddedDb = Math.Sqrt(group.AddedDb * group.AddedDb + addedDb * addedDb),
            };

    private static OrderLevel Order(OrderLevel order, Reason? withheld, double addedDb) =>
        order with
        {
            RmsMps2 = Level(order.RmsMps2, withheld, addedDb),
            GroupMps2 = order.GroupMps2 is null ? null : Level(order.GroupMps2, withheld, addedDb),
            PerAxisMps2 = withheld is null ? order.PerAxisMps2 : null,
        };

    private static TemperatureRise Rise(TemperatureRise rise, IReadOnlyList<QualityIssue> issues, Answers answer, string motor)
    {
        if (Withheld(issues, answer, motor) is Reason why)
        {
            return TemperatureRise.Unknown(why);
        }

        double addedC = Math.Sqrt(Reaching(issues, answer, motor).Sum(i => i.AddedC * i.AddedC));
        return addedC == 0 ? rise : rise with { RiseSteadyC = Wider(rise.RiseSteadyC, Half95PerU * addedC) };
    }

    private static Estimate Level(Estimate level, Reason? withheld, double addedDb) =>
        withheld is not null ? Estimate.Unknown(withheld)
        : addedDb > 0 && level.Value is double value ? Wider(level, Half95PerU * addedDb * RelativePerDb * value)
        : level;

    /// <summary>The interval with another uncertainty added, combined as independent (root of the summed squares); never below zero where
    /// it was not before.</summary>
    private static Estimate Wider(Estimate estimate, double half95)
    {
        if (estimate is not { Value: double value, Ci95: Interval ci })
        {
            return estimate;
        }

        double low = value - Math.Sqrt(Math.Pow(value - ci.Low, 2) + half95 * half95),
            high = value + Math.Sqrt(Math.Pow(ci.High - value, 2) + half95 * half95);
        return Estimate.Of(value, new Interval(ci.Low >= 0 ? Math.Max(0, low) : low, high));
    }

    /// <summary>Standard uncertainty that faults of its log add to all orders of a flight together, dB.</summary>
    internal static double CommonDb(FlightAnalysis analysis) => AddedDb(analysis.Quality, null);

    private static double AddedDb(IReadOnlyList<QualityIssue> issues, string? motor) =>
        Math.Sqrt(Reaching(issues, Answers.Vibration, motor).Sum(i => i.AddedDb * i.AddedDb));

    private static Reason? Withheld(IReadOnlyList<QualityIssue> issues, Answers answer, string? motor) =>
        Reaching(issues, answer, motor).FirstOrDefault(i => i.Effect is QualityEffect.Withheld or QualityEffect.NotComparable)?.Cause;

    private static IEnumerable<QualityIssue> Reaching(IReadOnlyList<QualityIssue> issues, Answers answer, string? motor) =>
        issues.Where(i => i.Affects.HasFlag(answer) && (i.Motor is null || i.Motor == motor));
}
