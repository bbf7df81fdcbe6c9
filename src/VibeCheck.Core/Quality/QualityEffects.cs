using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Carries faults of a log into the results: what they withhold becomes unknown, what they blur gets a wider interval.</summary>
public static class QualityEffects
{
    /// <summary>Decibels to a relative change of an amplitude: ln(10) / 20.</summary>
    private const double RelativePerDb = 0.11512925464970229;

    private const double Half95PerU = 1.96;

    /// <summary>The analysis with the effects of the issues in its numbers, and the issues added to
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
        noTrim ??= Withheld(issues, Answers.Speeds, null);
        Reason? noTotal =
            noVibration ?? issues.FirstOrDefault(i => i.Effect == QualityEffect.Withheld && i.Affects.HasFlag(Answers.Vibration))?.Cause;
        double addedDb = AddedDb(issues, null);
        return analysis with
        {
            Quality = [.. analysis.Quality, .. issues],
            RotorVibrationMps2 = Level(analysis.RotorVibrationMps2, noTotal, addedDb),
            Group = analysis.Group is { } group ? Group(group, noTotal, addedDb) : null,
            Accounting = analysis.Accounting is { } account ? Account(account, noTotal, addedDb) : null,
            Levels = [.. analysis.Levels.Select(l => l with { Rms = Level(l.Rms, noVibration, addedDb) })],
            Motors = [.. analysis.Motors.Select(m => Motor(m, issues))],
            YawTrim = noTrim is null ? analysis.YawTrim : analysis.YawTrim with { Split = Estimate.Unknown(noTrim) },
        };
    }

    private static MotorAnalysis Motor(MotorAnalysis motor, IReadOnlyList<QualityIssue> issues)
    {
        Reason? noOrders = Withheld(issues, Answers.Vibration, motor.Id) ?? Withheld(issues, Answers.MotorOrders, motor.Id);
        Reason? noSpeed = Withheld(issues, Answers.Speeds, motor.Id);
        double addedDb = AddedDb(issues, motor.Id);
        return motor with
        {
            RpmMean = noSpeed is null ? motor.RpmMean : Estimate.Unknown(noSpeed),
            LoadShare = noSpeed is null ? motor.LoadShare : Estimate.Unknown(noSpeed),
            Orders = [.. motor.Orders.Select(o => Order(o, noOrders, addedDb))],
            UnbalanceGmm = Level(motor.UnbalanceGmm, noOrders ?? noSpeed, addedDb),
            RotorMassWithinG63G = noOrders is null && noSpeed is null ? motor.RotorMassWithinG63G : null,
            MotorTemp = Rise(motor.MotorTemp, issues, Answers.MotorTemperatures, motor.Id),
            EscTemp = Rise(motor.EscTemp, issues, Answers.EscTemperatures, motor.Id),
        };
    }

    private static VibrationAccount Account(VibrationAccount account, Reason? withheld, double addedDb) =>
        withheld is not null
            ? account.Unknown(withheld)
            : account with
            {
                TotalMps2 = Level(account.TotalMps2, null, addedDb),
                Parts = [.. account.Parts.Select(p => p with { Mps2 = Level(p.Mps2, null, addedDb) })],
            };

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

    /// <summary>The interval with another uncertainty in it, combined as independent (root of the summed squares); never below zero
    /// where it was not before.</summary>
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

    /// <summary>What faults of its log add to the standard uncertainty of all orders of a flight at once, dB.</summary>
    internal static double CommonDb(FlightAnalysis analysis) => AddedDb(analysis.Quality, null);

    private static double AddedDb(IReadOnlyList<QualityIssue> issues, string? motor) =>
        Math.Sqrt(Reaching(issues, Answers.Vibration, motor).Sum(i => i.AddedDb * i.AddedDb));

    private static Reason? Withheld(IReadOnlyList<QualityIssue> issues, Answers answer, string? motor) =>
        Reaching(issues, answer, motor).FirstOrDefault(i => i.Effect is QualityEffect.Withheld or QualityEffect.NotComparable)?.Cause;

    private static IEnumerable<QualityIssue> Reaching(IReadOnlyList<QualityIssue> issues, Answers answer, string? motor) =>
        issues.Where(i => i.Affects.HasFlag(answer) && (i.Motor is null || i.Motor == motor));
}
