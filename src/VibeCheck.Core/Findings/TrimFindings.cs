using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;

namespace VibeCheck.Core.Findings;

/// <summary>The aircraft hovers with a lean in its motors' speeds: yaw trim and centre of gravity.</summary>
internal static class TrimFindings
{
    // A split of 2 % is a load some 4 % apart between the two groups of motors, and 6 % in power: worth a look; 8 % is a quarter in power.
    internal const double LookSplit = 0.02;
    private const double ActSplit = 0.08;

    // A twentieth of the arm changes the thrust of the end motors by about a tenth.
    private const double LookOffset = 0.05;

    internal static IEnumerable<Finding> Of(FlightAnalysis analysis) => Yaw(analysis).Concat(Gravity(analysis));

    private static IEnumerable<Finding> Yaw(FlightAnalysis analysis)
    {
        if (
            analysis.YawTrim is { Split: { Value: double split, Ci95: { } ci }, From: YawTrimSource.Rpm }
            && Math.Min(Math.Abs(ci.Low), Math.Abs(ci.High)) > LookSplit
            && ci.Low > 0 == ci.High > 0
        )
        {
            yield return new(
                "yaw-trim",
                Math.Abs(split) >= ActSplit ? Severity.Act : Severity.Look,
                null,
                new OneSpinTurnsFaster(split > 0 ? Spin.Clockwise : Spin.CounterClockwise, split, ci)
            );
        }
    }

    private static IEnumerable<Finding> Gravity(FlightAnalysis analysis)
    {
        if (
            analysis.GravityOffset is not { ForwardM: { Value: double forward, Ci95: { } f }, RightM: { Value: double right, Ci95: { } r } }
        )
        {
            yield break;
        }

        double arm = analysis.Airframe.Motors.Average(m => m.ArmM),
            size = Math.Sqrt(forward * forward + right * right);
        if (size - Math.Sqrt(f.Width * f.Width + r.Width * r.Width) / 2 > LookOffset * arm)
        {
            yield return new("centre-of-gravity", Severity.Look, null, new GravityOffHub(forward, f, right, r, arm, LookOffset * arm / 2));
        }
    }
}
