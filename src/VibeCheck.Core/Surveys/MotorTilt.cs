using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Core.Surveys;

/// <summary>Tilt of one motor mount against the frame, with its uncertainty.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="AcrossDeg">Across the arm, degrees, positive when the right side is low.</param>
/// <param name="AlongDeg">Along the arm, degrees, positive when the out side is low.</param>
public sealed record MotorTilt(string MotorId, Estimate AcrossDeg, Estimate AlongDeg)
{
    /// <summary>Size of the tilt from what is known of both directions, degrees; null when neither is.</summary>
    public double? MagnitudeDeg => (AcrossDeg.Value, AlongDeg.Value) switch
    {
        (double a, double b) => Math.Sqrt(a * a + b * b),
        (double a, null) => Math.Abs(a),
        (null, double b) => Math.Abs(b),
        _ => null,
    };
}
