using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>One motor's order standing out from the others': unbalance and its look-alikes, and blade pass.</summary>
internal static class RotorFindings
{
    // A motor stands out at twice the middle of the others (6 dB), its whole interval above; below 0.3 m/s² nobody would mind.
    private const double StandsOut = 2;
    private const double StandsFarOut = 5;
    private const double LeastMps2 = 0.3;
    private const int LeastMotors = 3;

    internal static IEnumerable<Finding> Of(FlightAnalysis analysis) =>
        Outstanding(analysis, _ => 1)
            .Select(o => OrderOne(analysis, o))
            .Concat(analysis.Airframe.HasLayout ? Outstanding(analysis, m => m.Blades).Where(o => o.Order > 1).Select(BladePass) : []);

    private static IEnumerable<Outlier> Outstanding(FlightAnalysis analysis, Func<Motor, int> orderOf)
    {
        List<(Motor Motor, MotorAnalysis Analysis, OrderLevel Level)> known = [];
        foreach ((Motor motor, MotorAnalysis of) in analysis.Airframe.Motors.Zip(analysis.Motors))
        {
            if (of.Orders.FirstOrDefault(o => o.Order == orderOf(motor)) is { RmsMps2: { IsKnown: true, Ci95: not null } } level)
            {
                known.Add((motor, of, level));
            }
        }

        foreach ((Motor motor, MotorAnalysis of, OrderLevel level) in known)
        {
            double others = Robust.Median(known.Where(k => k.Motor != motor).Select(k => k.Level.RmsMps2.Value!.Value));
            if (known.Count >= LeastMotors && level.RmsMps2.Ci95!.Value.Low > Math.Max(LeastMps2, StandsOut * others))
            {
                yield return new(motor, of, level.Order, level.RmsMps2, others);
            }
        }
    }

    private static Finding OrderOne(FlightAnalysis analysis, Outlier o)
    {
        bool tiltFirst = Math.Abs(analysis.YawTrim.Split.Value ?? 0) > TrimFindings.LookSplit;
        double size = o.Level.Value!.Value;
        return new(
            "order-1-stands-out",
            size > StandsFarOut * o.OthersMps2 ? Severity.Act : Severity.Look,
            o.Motor.Id,
            new OrderOneStandsOut(
                o.Motor.Id,
                size,
                o.Level.Ci95!.Value,
                o.OthersMps2,
                VelocityMmps(o),
                o.Analysis.UnbalanceGmm.Value,
                SwapWith(analysis, o.Motor),
                tiltFirst
            )
        );
    }

    private static Finding BladePass(Outlier o) =>
        new(
            "blade-pass-stands-out",
            Severity.Look,
            o.Motor.Id,
            new BladePassStandsOut(o.Motor.Id, o.Order, o.Level.Value!.Value, o.Level.Ci95!.Value, o.OthersMps2, VelocityMmps(o))
        );

    private static double? VelocityMmps(Outlier o) =>
        o.Analysis.RpmMean.Value is > 0 and double rpm
            ? SineMotion.FromAccelerationRmsMps2(o.Level.Value!.Value, o.Order * rpm / 60).VelocityRmsMmps
            : null;

    /// <summary>The calmest other motor of the same spin and blade count.</summary>
    private static string? SwapWith(FlightAnalysis analysis, Motor motor) =>
        !analysis.Airframe.HasLayout
            ? null
            : analysis
                .Airframe.Motors.Zip(analysis.Motors)
                .Where(m => m.First != motor && m.First.Spin == motor.Spin && m.First.Blades == motor.Blades)
                .OrderBy(m => m.Second.Orders.FirstOrDefault(o => o.Order == 1)?.RmsMps2.Value ?? double.PositiveInfinity)
                .Select(m => m.First.Id)
                .FirstOrDefault();

    private sealed record Outlier(Motor Motor, MotorAnalysis Analysis, int Order, Estimate Level, double OthersMps2);
}
