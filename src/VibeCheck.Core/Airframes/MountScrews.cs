namespace VibeCheck.Core.Airframes;

/// <summary>The screws that hold a motor on its mount. Shims lift the motor off the mount and so take thread away.</summary>
/// <param name="LengthMm">Length under the head, mm, above 0.</param>
/// <param name="DiameterMm">Nominal thread diameter, mm, such as 3 for M3, above 0.</param>
/// <param name="ClampedMm">What lies between head and motor without shims (mount plate, washer), mm, 0 or more.</param>
/// <param name="ThreadDepthMm">Depth of thread in the motor, mm, before a screw could reach the winding; null when not given.</param>
public sealed record MountScrews(double LengthMm, double DiameterMm, double ClampedMm, double? ThreadDepthMm)
{
    /// <summary>Millimetres of thread in the motor with <paramref name="shimMm"/> of shims under that bolt.</summary>
    public double EngagementMm(double shimMm) => LengthMm - ClampedMm - shimMm;

    /// <summary>Thread engagement that a steel screw needs in aluminium under a normal load, mm: 1.5 diameters and 1/16 inch.</summary>
    /// <remarks>R. Walsh, Handbook of Machining and Metalworking Calculations, chapter 9: 1.50 D + 0.062 in.</remarks>
    public double WantedEngagementMm => 1.5 * DiameterMm + 0.062 * 25.4;
}
