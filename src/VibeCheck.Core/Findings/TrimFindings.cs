using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;

namespace VibeCheck.Core.Findings;

/// <summary>The aircraft hovers with uneven motor speeds: yaw trim and centre of gravity.</summary>
internal static class TrimFindings
{
    // A split of 2 % means that the load differs by about 4 % between the two groups of motors, and the power by 6 %; 8 % is a quarter in
    // power. A twentieth of the arm changes the thrust of the end motors by about a tenth.
    internal static double LookSplit => FindingRules.Of("yaw-trim").Limits[0].Look!.Value;

    internal static IEnumerable<Observation> Of(FlightAnalysis analysis) => Yaw(analysis).Concat(Gravity(analysis));

    private static IEnumerable<Observation> Yaw(FlightAnalysis analysis)
    {
        if (analysis.YawTrim is { Split: { Value: double split, Ci95: { } ci }, From: YawTrimSource.Rpm } && ci.Low > 0 == ci.High > 0)
        {
            yield return new(
                "yaw-trim",
                null,
                new OneSpinTurnsFaster(split > 0 ? Spin.Clockwise : Spin.CounterClockwise, split, ci),
                Math.Min(Math.Abs(ci.Low), Math.Abs(ci.High))
            );
        }
    }

    private static IEnumerable<Observation> Gravity(FlightAnalysis analysis)
    {
        if (
            analysis.GravityOffset is not { ForwardM: { Value: double forward, Ci95: { } f }, RightM: { Value: double right, Ci95: { } r } }
        )
        {
            yield break;
        }

        double arm = analysis.Airframe.Motors.Average(m => m.ArmM),
            size = Math.Sqrt(forward * forward + right * right),
            near = size - Math.Sqrt(f.Width * f.Width + r.Width * r.Width) / 2;
        double least = FindingRules.Of("centre-of-gravity").Limits[0].Least * arm / 2;
        yield return new("centre-of-gravity", null, new GravityOffHub(forward, f, right, r, arm, least), near / arm);
    }
}
