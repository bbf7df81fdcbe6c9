using System.Globalization;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text about the decisions of a shim plan, and its cautions.</summary>
/// <remarks>The bench sheet compiles this file too, without most of the other text classes, so the caller passes the function that gives
/// the text of a nested cause.</remarks>
internal static class ShimReasonText
{
    /// <summary>The cautions; one that several motors share is one line.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="words">Returns the text of any cause.</param>
    internal static IReadOnlyList<string> Cautions(ShimPlan plan, Func<Reason, string> words)
    {
        List<string> lines = [];
        foreach (var group in plan.Cautions.GroupBy(c => c is MotorCaution m ? words(m.Cause) : words(c)))
        {
            string[] motors = [.. group.OfType<MotorCaution>().Select(m => m.Motor)];
            lines.AddRange(motors.Length > 0 ? [$"{string.Join(", ", motors)}: {group.Key}"] : Enumerable.Repeat(group.Key, group.Count()));
        }

        return lines;
    }

    /// <summary>One clause or sentence; null for any other cause.</summary>
    /// <param name="cause">The cause.</param>
    /// <param name="words">Returns the text of a nested cause.</param>
    internal static string? Of(Reason cause, Func<Reason, string> words) =>
        cause switch
        {
            NothingReadHere => "nothing was read here",
            TiltUnknown t => string.Join("; ", new[] { t.Across, t.Along }.OfType<Reason>().Select(words).Distinct()),
            TiltOutOfTolerance t => $"{Amount(t.TiltDeg, t.U95Deg)} is out of the {Tolerance(t.ToleranceDeg)} tolerance",
            TiltWithinTolerance t => $"{Amount(t.TiltDeg, t.U95Deg)} is within the {Tolerance(t.ToleranceDeg)} tolerance",
            TiltNearTolerance t => $"{Amount(t.TiltDeg, t.U95Deg)} may lie on either side of {Tolerance(t.ToleranceDeg)}, "
                + "but so near to it that a shim would change little",
            TiltNotSettled t => $"{Amount(t.TiltDeg, t.U95Deg)} may lie on either side of {Tolerance(t.ToleranceDeg)}; {Advice(t)}",
            NoStackHelps n => $"{words(n.Cause)}, but no stack from the kit makes it better",
            MotorCaution m => $"{m.Motor}: {words(m.Cause)}",
            DirectionNotRead d =>
                $"The tilt {SurveyText.Way(d.Direction)} the arm was not read at {string.Join(", ", d.Motors)}: it is not known and not "
                    + $"corrected.",
            _ => Materials(cause),
        };

    private static string? Materials(Reason cause) =>
        cause switch
        {
            BoltsNotGiven => "The airframe file gives no bolts, so there are no shims in this plan: add a [bolts] section.",
            BoltsInOneLine =>
                "With two bolts, shims correct only the tilt along the line through the bolts; the mount can still tip about that line.",
            ShimKitAssumed k =>
                $"The airframe file lists no shims. The plan uses {Kit(k)}, at most {Grammar.Count(k.MostPerBolt, "shim")} under a bolt.",
            TorquePerThrustAssumed t => string.Create(
                CultureInfo.InvariantCulture,
                $"The airframe file gives no torque_per_thrust_m: the yaw figures assume {t.TakenM} ± "
                    + $"{t.BoundM} m, which widens their intervals."
            ),
            KitLeavesTilt k => $"the best the kit can do leaves {Format.Number(k.ResidualDeg, 2)}°; other thicknesses would do better.",
            StacksRock s => $"the stacks lie up to {Length(s.RockingMm, 3, s.InInch)} off one plane; check that the motor does not "
                + "rock before tightening.",
            ScrewsTooShort s =>
                $"{Length(s.ShimsMm, 2, s.InInch)} of shims leave {Length(s.EngagementMm, 1, s.InInch)} of thread in the motor "
                    + $"({Length(s.BareMm, 1, s.InInch)} without shims). A steel screw of "
                    + $"{(s.InInch ? Length(s.DiameterMm, 1, true) : Format.Short(s.DiameterMm) + " mm")} in aluminium "
                    + $"needs {Length(s.WantedMm, 1, s.InInch)}. Use longer screws, or ask the maker.",
            ScrewsTooLong s => $"without shims the screws reach {Length(s.BareMm, 1, s.InInch)} into the motor, past the "
                + $"{Length(s.DepthMm, 1, s.InInch)} of thread, "
                + "and could touch the winding: put shorter ones in when shims come out.",
            _ => null,
        };

    private static string Advice(TiltNotSettled t) =>
        t.Step switch
        {
            SettlingStep.ReadAgain => "read each place again, lifting the gauge in between",
            SettlingStep.MoreReadings => $"{Grammar.Count(t.MoreReadings ?? 0, "more reading")} at each place would settle it if "
                + $"{Grammar.Agree(t.MoreReadings ?? 0, "it agrees", "they agree")}",
            _ => "measure it with a gauge of finer steps, because more readings with this one do not settle it",
        };

    /// <summary>Thicknesses of a kit, such as "0.1, 0.2 and 0.3 mm".</summary>
    private static string Kit(ShimKitAssumed kit) =>
        kit.InInch
            ? $"{Grammar.List([.. kit.ThicknessesMm.Select(t => Format.Trimmed(t / 25.4, 1, 4))])} in"
            : $"{Grammar.List([.. kit.ThicknessesMm.Select(t => Format.Trimmed(t, 1, 4))])} mm";

    private static string Amount(double deg, double half) => $"{Format.Number(deg, 2)}° ± {Format.Number(half, 2)}°";

    private static string Tolerance(double deg) => $"{Format.Trimmed(deg, 1, 3)}°";

    /// <summary>A length in mm with fixed decimals, or in inches with one to four.</summary>
    private static string Length(double mm, int decimals, bool inInch) =>
        inInch ? $"{Format.Trimmed(mm / 25.4, 1, 4)} in" : $"{Format.Number(mm, decimals)} mm";
}
