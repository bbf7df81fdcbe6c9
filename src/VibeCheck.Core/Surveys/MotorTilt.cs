using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>Tilt of one motor mount against the frame, with its uncertainty.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="AcrossDeg">Across the arm, degrees, positive when the right side is low.</param>
/// <param name="AlongDeg">Along the arm, degrees, positive when the out side is low.</param>
public sealed record MotorTilt(string MotorId, Estimate AcrossDeg, Estimate AlongDeg)
{
    /// <summary>Uncertainty budget across the arm; null when unknown or not from readings.</summary>
    public UncertaintyBudget? AcrossBudget { get; init; }

    /// <summary>Uncertainty budget along the arm; null when unknown or not from readings.</summary>
    public UncertaintyBudget? AlongBudget { get; init; }

    /// <summary>Size of the tilt from what is known of both directions, degrees; null when neither is.</summary>
    public double? MagnitudeDeg =>
        (AcrossDeg.Value, AlongDeg.Value) switch
        {
            (double a, double b) => Math.Sqrt(a * a + b * b),
            (double a, null) => Math.Abs(a),
            (null, double b) => Math.Abs(b),
            _ => null,
        };

    /// <summary>95 % uncertainty of either direction, the larger of the two, degrees; null when neither has an interval.</summary>
    public double? U95Deg =>
        (AcrossDeg.Ci95, AlongDeg.Ci95) switch
        {
            (Interval a, Interval b) => Math.Max(a.Width, b.Width) / 2,
            (Interval a, null) => a.Width / 2,
            (null, Interval b) => b.Width / 2,
            _ => null,
        };

    /// <summary>This tilt compared with a tolerance.</summary>
    /// <param name="toleranceDeg">Largest tilt that is accepted, degrees.</param>
    public MountStanding Standing(double toleranceDeg) =>
        (MagnitudeDeg, U95Deg) switch
        {
            (null, _) => MountStanding.NotKnown,
            (double deg, double half) when deg + half <= toleranceDeg => MountStanding.InTolerance,
            (double deg, double half) when deg - half > toleranceDeg => MountStanding.OutOfTolerance,
            _ => MountStanding.Undecided,
        };
}
