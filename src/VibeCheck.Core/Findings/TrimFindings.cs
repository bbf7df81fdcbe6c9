using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using static System.FormattableString;

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
        if (analysis.YawTrim is { Split: { Value: double split, Ci95: { } ci }, From: YawTrimSource.Rpm }
            && Math.Min(Math.Abs(ci.Low), Math.Abs(ci.High)) > LookSplit && ci.Low > 0 == ci.High > 0)
        {
            string fast = split > 0 ? "clockwise" : "counter-clockwise";
            yield return new("yaw-trim", Math.Abs(split) >= ActSplit ? Severity.Act : Severity.Look, null,
                $"The {fast} motors must turn faster than the others to hold the heading: they carry more load and run hotter. Mounts tilted to the same side, a twisted arm or differing propellers do this.",
                Invariant($"split {100 * split:+0.0;-0.0} % ({100 * ci.Low:+0.0;-0.0} to {100 * ci.High:+0.0;-0.0})"),
                FlightFindings.Bench + "measure the tilt of all mounts across their arms; check that all propellers are of one kind.");
        }
    }

    private static IEnumerable<Finding> Gravity(FlightAnalysis analysis)
    {
        if (analysis.GravityOffset is not { ForwardM: { Value: double forward, Ci95: { } f }, RightM: { Value: double right, Ci95: { } r } })
        {
            yield break;
        }

        double arm = analysis.Airframe.Motors.Average(m => m.ArmM), size = Math.Sqrt(forward * forward + right * right);
        if (size - Math.Sqrt(f.Width * f.Width + r.Width * r.Width) / 2 > LookOffset * arm)
        {
            string where = (Math.Abs(forward) > LookOffset * arm / 2 ? forward > 0 ? "forward" : "aft" : "")
                + (Math.Abs(right) > LookOffset * arm / 2 ? right > 0 ? " right" : " left" : "");
            yield return new("centre-of-gravity", Severity.Look, null,
                $"The centre of gravity seems to lie {where.Trim()} of the hub: the motors on that side carry more.",
                Invariant($"{1000 * forward:+0;-0} mm forward ({Range(f)}), {1000 * right:+0;-0} mm right ({Range(r)}), from speeds squared; arm {1000 * arm:0} mm"),
                FlightFindings.Bench + "balance the aircraft on two fingers with battery and load as flown, and shift the battery.");
        }
    }

    private static string Range(Interval metres) => Invariant($"{1000 * metres.Low:+0;-0} to {1000 * metres.High:+0;-0}");
}
