using VibeCheck.Core.Airframes;

namespace VibeCheck.Reports.Drawings;

/// <summary>Place of a motor's panel on the plan, in the drawing's units: x to the right, y down, nose up.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="X">Centre of the panel.</param>
/// <param name="Y">Centre of the panel.</param>
public sealed record PlanPlace(Motor Motor, double X, double Y)
{
    /// <summary>Unit vector from the hub outwards along the arm.</summary>
    public (double X, double Y) Outwards => (Math.Sin(AzimuthRad), -Math.Cos(AzimuthRad));

    /// <summary>Unit vector to the right, seen from the hub looking out along the arm.</summary>
    public (double X, double Y) Right => (Math.Cos(AzimuthRad), Math.Sin(AzimuthRad));

    private double AzimuthRad => Motor.AzimuthDeg * Math.PI / 180;
}
