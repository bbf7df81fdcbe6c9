using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>Position of the centre of gravity, from the way in which the motors share the thrust.</summary>
/// <param name="ForwardM">Metres forward of the hub.</param>
/// <param name="RightM">Metres right of the hub.</param>
/// <remarks>In a hover without rotation the thrusts balance about the centre of gravity: Σ T r / Σ T, T ~ speed squared. A difference of 1
/// % in thrust between propellers moves it by about a hundredth of the arm divided by the root of the number of motors; the interval is
/// calculated from the speeds alone and does not include that.</remarks>
public sealed record GravityOffset(Estimate ForwardM, Estimate RightM)
{
    internal static GravityOffset Of(Airframe airframe, MotorSamples speeds)
    {
        Reason? why =
            !airframe.HasLayout ? new LayoutUnknown()
            : speeds.Motors.Count < airframe.Motors.Count ? new SomeSpeedsUnknown()
            : speeds.Rows.Count == 0 ? new AllSpeedsMissingInHover()
            : speeds.MeanOfAll <= 0 ? new MotorsStandStill()
            : null;
        return why is not null ? new(Estimate.Unknown(why), Estimate.Unknown(why)) : new(Along(speeds, Math.Cos), Along(speeds, Math.Sin));
    }

    private static Estimate Along(MotorSamples speeds, Func<double, double> part)
    {
        double[] place = [.. speeds.Motors.Select(m => m.ArmM * part(double.DegreesToRadians(m.AzimuthDeg)))];
        return MotorSamples.Ratio(speeds.Each(r => Weighted(r, place)), speeds.Each(r => Weighted(r, null)));
    }

    private static double Weighted(double[] rpm, double[]? place)
    {
        double sum = 0;
        for (int m = 0; m < rpm.Length; m++)
        {
            sum += rpm[m] * rpm[m] * (place is null ? 1 : place[m]);
        }

        return sum;
    }
}
