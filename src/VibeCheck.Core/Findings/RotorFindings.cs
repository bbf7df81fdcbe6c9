using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>An order of one motor that stands out from those of the others: unbalance and similar causes, and blade pass.</summary>
internal static class RotorFindings
{
    private const int LeastMotors = 3;

    internal static IEnumerable<Observation> Of(FlightAnalysis analysis) =>
        OrderOne(analysis).Concat(analysis.Airframe.HasLayout ? BladePass(analysis) : []);

    private static IEnumerable<Outlier> Held(FlightAnalysis analysis, Func<Motor, int> orderOf)
    {
        List<(Motor Motor, MotorAnalysis Analysis, OrderLevel Level)> known = [];
        foreach ((Motor motor, MotorAnalysis of) in analysis.Airframe.Motors.Zip(analysis.Motors))
        {
            if (of.Orders.FirstOrDefault(o => o.Order == orderOf(motor)) is { RmsMps2: { IsKnown: true, Ci95: not null } } level)
            {
                known.Add((motor, of, level));
            }
        }

        foreach ((Motor motor, MotorAnalysis of, OrderLevel level) in known.Count >= LeastMotors ? known : [])
        {
            double others = Robust.Median(known.Where(k => k.Motor != motor).Select(k => k.Level.RmsMps2.Value!.Value));
            yield return new(motor, of, level.Order, level.RmsMps2, others);
        }
    }

    private static IEnumerable<Observation> OrderOne(FlightAnalysis analysis)
    {
        bool tiltFirst = Math.Abs(analysis.YawTrim.Split.Value ?? 0) > TrimFindings.LookSplit;
        Outlier[] all = [.. Held(analysis, _ => 1)];

        // One plan for all motors that stand out: it never swaps two of them with each other.
        string[] suspects =
        [
            .. all.Where(o => One(o, tiltFirst, []).Judged() is not null).OrderByDescending(o => o.Level.Value).Select(o => o.Motor.Id),
        ];
        IReadOnlyList<PropellerSwap> plan = SwapPlan.Of(analysis, suspects);
        return all.Select(o => One(o, tiltFirst, plan));
    }

    private static Observation One(Outlier o, bool tiltFirst, IReadOnlyList<PropellerSwap> plan) =>
        new(
            "order-1-stands-out",
            o.Motor.Id,
            new OrderOneStandsOut(
                o.Motor.Id,
                o.Level.Value!.Value,
                o.Level.Ci95!.Value,
                o.OthersMps2,
                VelocityMmps(o),
                o.Analysis.UnbalanceGmm.Value,
                plan.FirstOrDefault(p => p.Suspect == o.Motor.Id)?.Calm,
                plan,
                tiltFirst
            ),
            o.Level.Ci95!.Value.Low / o.OthersMps2,
            o.Level.Ci95.Value.Low,
            o.Level.Value.Value / o.OthersMps2
        )
        {
            Order = 1,
        };

    private static IEnumerable<Observation> BladePass(FlightAnalysis analysis) =>
        Held(analysis, m => m.Blades)
            .Where(o => o.Order > 1)
            .Select(o => new Observation(
                "blade-pass-stands-out",
                o.Motor.Id,
                new BladePassStandsOut(o.Motor.Id, o.Order, o.Level.Value!.Value, o.Level.Ci95!.Value, o.OthersMps2, VelocityMmps(o)),
                o.Level.Ci95.Value.Low / o.OthersMps2,
                o.Level.Ci95.Value.Low
            )
            {
                Order = o.Order,
            });

    private static double? VelocityMmps(Outlier o) =>
        o.Analysis.RpmMean.Value is > 0 and double rpm
            ? SineMotion.FromAccelerationRmsMps2(o.Level.Value!.Value, o.Order * rpm / 60).VelocityRmsMmps
            : null;

    private sealed record Outlier(Motor Motor, MotorAnalysis Analysis, int Order, Estimate Level, double OthersMps2);
}
