using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>The contribution of one motor to the rotors' part of the total vibration.</summary>
/// <param name="MotorId">The motor; null for what cannot be assigned to a single motor: orders that were not measured, or that several
/// motors share.</param>
/// <param name="Mps2">Root mean square, m/s².</param>
/// <param name="Share">Its share of the mean square of the part, 0 to 1.</param>
public sealed record MotorPart(string? MotorId, Estimate Mps2, double Share);

/// <summary>Splits the rotors' part by motor: the measured orders of each motor within the band, and the rest.</summary>
public static class RotorPartByMotor
{
    /// <summary>One entry for each motor with a known order, then the rest; their mean squares add up to that of the part.</summary>
    /// <param name="account">The account of the flight.</param>
    /// <param name="motors">Its motors with their orders.</param>
    /// <returns>Empty where the part or the orders of every motor are unknown.</returns>
    public static IReadOnlyList<MotorPart> Of(VibrationAccount account, IReadOnlyList<MotorAnalysis> motors)
    {
        ArgumentNullException.ThrowIfNull(account);
        ArgumentNullException.ThrowIfNull(motors);
        (string Id, double Square, double U)[] own = [.. motors.Select(m => Own(m, account.BandHz)).OfType<(string, double, double)>()];
        if (account.Part(VibrationPartKind.RotorOrders).Mps2 is not { Value: > 0 and double size } part || own.Length == 0)
        {
            return [];
        }

        // The two are measured independently. Where the orders are larger than the bins that contain them, they share the power of the
        // bins.
        double whole = size * size,
            sum = own.Sum(o => o.Square),
            scale = Math.Min(1, whole / sum);
        double rest = Math.Max(0, whole - sum);
        double restU = Math.Sqrt(
            own.Sum(o => o.U * o.U) + Math.Pow(part.Ci95 is Interval ci ? (ci.High * ci.High - ci.Low * ci.Low) / 2 : 0, 2)
        );
        return
        [
            .. own.Select(o => new MotorPart(o.Id, Size(scale * o.Square, scale * o.U), scale * o.Square / whole)),
            new(null, Size(rest, restU), rest / whole),
        ];
    }

    private static (string Id, double Square, double U)? Own(MotorAnalysis motor, Interval band)
    {
        OrderLevel[] orders =
        [
            .. motor.Orders.Where(o =>
                o is { Separable: true, RmsMps2.IsKnown: true, FoldedFromHz: null }
                && motor.RpmMean.Value is double rpm
                && band.Contains(o.Order * rpm / 60)
            ),
        ];
        double square = orders.Sum(o => Math.Pow(o.RmsMps2.Value!.Value, 2));
        double u = Math.Sqrt(orders.Sum(o => o.RmsMps2.Ci95 is Interval ci ? Math.Pow((ci.High * ci.High - ci.Low * ci.Low) / 2, 2) : 0));
        return orders.Length == 0 ? null : (motor.Id, square, u);
    }

    private static Estimate Size(double square, double half) =>
        Estimate.Of(Math.Sqrt(square), new(Math.Sqrt(Math.Max(0, square - half)), Math.Sqrt(square + half)));
}
