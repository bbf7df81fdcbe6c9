using VibeCheck.Core.Airframes;

namespace VibeCheck.BenchSheet.Drawings;

/// <summary>A motor's place on the plan, pixels from the hub: right and down.</summary>
internal sealed record MotorPlace(Motor Motor, double X, double Y);

/// <summary>Positions of the motors on the plan, nose up. Only their directions count: all lie on one ring, hanging motors on a ring inside
/// it.</summary>
/// <param name="Motors">The motors in the airframe's order.</param>
/// <param name="HalfPx">Half the width of the plan.</param>
internal sealed record PlanPlaces(IReadOnlyList<MotorPlace> Motors, double HalfPx)
{
    /// <summary>Width of a target: at least 14 mm, 53 px of 1/96 inch, for a finger in a glove.</summary>
    internal const double TargetPx = 56;

    private const double GapPx = 5;
    private const double PhonePx = 340;

    /// <summary>Radius of the hub's target.</summary>
    internal const double HubPx = 27;

    /// <summary>Places the motors so that no two targets touch.</summary>
    internal static PlanPlaces Of(Airframe airframe)
    {
        bool coaxial = airframe.Motors.Any(m => m.Level == MotorLevel.Lower);
        double between = Math.Max(Closest(airframe.Motors.Where(m => m.Level != MotorLevel.Lower)), 1);
        double betweenLower = Math.Max(Closest(airframe.Motors.Where(m => m.Level == MotorLevel.Lower)), 1);
        double Radius(double deg) => (TargetPx + GapPx) / 2 / Math.Sin(double.DegreesToRadians(Math.Min(deg, 180) / 2));
        double inner = coaxial ? Math.Max(Radius(betweenLower), TargetPx + GapPx + 2) : 0;
        double outer = Math.Max(Math.Max(Radius(between), inner + (coaxial ? TargetPx + GapPx : 0)), PhonePx / 2 - TargetPx / 2 - 1);
        return new([.. airframe.Motors.Select(m => At(m, m.Level == MotorLevel.Lower ? inner : outer))], outer + TargetPx / 2 + 1);
    }

    private static MotorPlace At(Motor motor, double radius)
    {
        (double sin, double cos) = Math.SinCos(double.DegreesToRadians(motor.AzimuthDeg));
        return new(motor, radius * sin, -radius * cos);
    }

    private static double Closest(IEnumerable<Motor> motors)
    {
        double[] azimuths = [.. motors.Select(m => (m.AzimuthDeg % 360 + 360) % 360).Order()];
        return azimuths.Length < 2
            ? 360
            : azimuths.Select((a, i) => i + 1 < azimuths.Length ? azimuths[i + 1] - a : azimuths[0] + 360 - a).Min();
    }
}
