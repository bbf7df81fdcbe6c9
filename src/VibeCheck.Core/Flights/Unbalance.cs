using VibeCheck.Core.Airframes;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>Unbalance of a rotor: derived from order 1, and compared with a balance grade.</summary>
public static class Unbalance
{
    /// <summary>Grade for fans, mm/s; ISO 21940-11 (formerly ISO 1940-1), table 1. The table does not name air propellers.</summary>
    public const double FanGradeMmps = 6.3;

    /// <summary>Mass that a rotor must have for an unbalance to be just within a grade, g: m = U ω / G, from U = G m / ω (ISO
    /// 21940-11).</summary>
    /// <param name="unbalanceGmm">Unbalance, g·mm.</param>
    /// <param name="gradeMmps">Balance grade G, mm/s, above 0.</param>
    /// <param name="rpm">Speed, rpm, above 0.</param>
    public static double RotorMassWithinGradeG(double unbalanceGmm, double gradeMmps, double rpm) =>
        unbalanceGmm * OmegaRadps(rpm) / Require.Positive(gradeMmps);

    /// <summary>
    /// Unbalance at one rotor that would cause the measured order 1 on a rigid airframe: F = M a, U = F / ω². An unbalanced rotor causes a
    /// rotating force in its own plane, so the rms of its two axes together is the size of that force divided by the mass.
    /// </summary>
    /// <param name="order1">Order 1 of the motor, with its axes.</param>
    /// <param name="aircraftKg">Mass of the aircraft; null when not given.</param>
    /// <param name="rpm">Mean speed of the motor.</param>
    /// <returns>g·mm. An estimate only: arms bend, the force also rotates the airframe, and a bent shaft or a tilted mount looks the
    /// same.</returns>
    public static Estimate FromVibration(OrderLevel? order1, double? aircraftKg, Estimate rpm)
    {
        ArgumentNullException.ThrowIfNull(rpm);
        if (order1?.RmsMps2.Value is not double rms || order1.PerAxisMps2 is not { Count: >= 2 } axes)
        {
            return Estimate.Unknown(order1?.RmsMps2.Why ?? new OrderOneNotMeasured());
        }

        if (aircraftKg is not > 0 || rpm.Value is not > 0)
        {
            return Estimate.Unknown(aircraftKg is > 0 ? new MotorSpeedUnknown() : new MassNotGiven());
        }

        double inPlane = Math.Sqrt(axes[0] * axes[0] + axes[1] * axes[1]),
            omega = OmegaRadps(rpm.Value.Value);
        double unbalance = 1e6 * aircraftKg.Value * inPlane / (omega * omega);
        return order1.RmsMps2.Ci95 is { } ci && rms > 0
            ? Estimate.Of(unbalance, new(unbalance * Math.Max(0, ci.Low) / rms, unbalance * ci.High / rms))
            : Estimate.WithoutInterval(unbalance, new OrderOneWithoutInterval());
    }

    private static double OmegaRadps(double rpm) => Require.Positive(rpm) * 2 * Math.PI / 60;
}
