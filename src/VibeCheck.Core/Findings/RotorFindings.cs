using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using static System.FormattableString;

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
        Outstanding(analysis, _ => 1).Select(o => OrderOne(analysis, o))
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
        string swap = SwapWith(analysis, o.Motor) is string with
            ? Invariant($"swap the propellers of {o.Motor.Id} and {with} (both turn the same way) and fly again: if order 1 goes with the propeller, balance or replace it; if it stays, look at the mount's tilt, the shaft and the bell.")
            : "fit another propeller and fly again: if order 1 changes with it, balance or replace it; if not, look at the mount's tilt, the shaft and the bell.";
        string tiltFirst = Math.Abs(analysis.YawTrim.Split.Value ?? 0) > TrimFindings.LookSplit
            ? "measure the tilt of its mount first, for the yaw trim points that way too; then "
            : "";
        string unbalance = o.Analysis.UnbalanceGmm.Value is double gmm
            ? Invariant($"; if all of it were unbalance of a rigid aircraft: about {gmm:0} g·mm")
            : "";
        return new("order-1-stands-out", o.Level.Value!.Value > StandsFarOut * o.OthersMps2 ? Severity.Act : Severity.Look, o.Motor.Id,
            Invariant($"{o.Motor.Id} shakes once a revolution {o.Level.Value.Value / o.OthersMps2:0.0} times as hard as the middle of the others. An unbalanced or damaged propeller, a bent shaft and a tilted mount look alike in this."),
            Evidence(o) + unbalance, FlightFindings.Bench + tiltFirst + swap);
    }

    private static Finding BladePass(Outlier o) => new("blade-pass-stands-out", Severity.Look, o.Motor.Id,
        Invariant($"{o.Motor.Id} shakes at its blade pass (order {o.Order}) {o.Level.Value!.Value / o.OthersMps2:0.0} times as hard as the middle of the others: a damaged or ill-tracking blade, or something close under the propeller."),
        Evidence(o), FlightFindings.Bench + "compare both blades' tips for height and nicks, look for a loose blade or hub, and for cables or parts near the disc.");

    private static string Evidence(Outlier o)
    {
        Interval ci = o.Level.Ci95!.Value;
        string velocity = o.Analysis.RpmMean.Value is > 0 and double rpm
            ? Invariant($" ({SineMotion.FromAccelerationRmsMps2(o.Level.Value!.Value, o.Order * rpm / 60).VelocityRmsMmps:0.0} mm/s)")
            : "";
        return Invariant($"order {o.Order} {o.Level.Value:0.00} m/s² ({ci.Low:0.00} to {ci.High:0.00}){velocity}, middle of the others {o.OthersMps2:0.00} m/s²");
    }

    /// <summary>The calmest other motor of the same spin and blade count.</summary>
    private static string? SwapWith(FlightAnalysis analysis, Motor motor) => !analysis.Airframe.HasLayout ? null : analysis.Airframe.Motors.Zip(analysis.Motors)
        .Where(m => m.First != motor && m.First.Spin == motor.Spin && m.First.Blades == motor.Blades)
        .OrderBy(m => m.Second.Orders.FirstOrDefault(o => o.Order == 1)?.RmsMps2.Value ?? double.PositiveInfinity)
        .Select(m => m.First.Id)
        .FirstOrDefault();

    private sealed record Outlier(Motor Motor, MotorAnalysis Analysis, int Order, Estimate Level, double OthersMps2);
}
