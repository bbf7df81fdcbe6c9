using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>The sentences about a survey and its shim plan, the same on console, card and in JSON.</summary>
public static class ShimPlanText
{
    /// <summary>Cautions for work on the aircraft from a plan.</summary>
    public static IReadOnlyList<string> Bench { get; } =
    [
        "Propellers off and battery out before anything else. Motors and ESCs may be hot.",
        "Tighten all screws of a motor to the same torque, the maker's figure, then read again: tightening moves the mount.",
        "Where screws were made longer for shims, put the shorter ones back when the shims come out: a long screw can reach the winding.",
        "First flight after the work: a low hover, away from people, within local rules and the maker's limits.",
    ];

    private const string NotReadYet = "not read yet";
    private const double SameMm = 0.05;
    private const double MmPerInch = 25.4;

    /// <summary>The answer in one sentence: which motors to shim, which to leave, which to measure again.</summary>
    public static string Answer(ShimPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        string[] parts =
        [
            .. new (ShimAction? Action, string Form)[]
            {
                (ShimAction.Shim, "shim {0}"),
                (ShimAction.Leave, "leave {0}"),
                (ShimAction.MeasureAgain, "measure {0} again"),
                (null, "{0} not read yet"),
            }
                .Select(a =>
                    (
                        Ids: (List<string>)
                            [.. plan.Motors.Where(m => (m.IsRead ? m.Action : (ShimAction?)null) == a.Action).Select(m => m.Motor.Id)],
                        a.Form
                    )
                )
                .Where(a => a.Ids.Count > 0)
                .Select(a =>
                    a.Form.Replace("{0}", a.Ids.Count == plan.Motors.Count ? "all motors" : Grammar.List(a.Ids), StringComparison.Ordinal)
                ),
        ];
        return Grammar.Sentence(string.Join("; ", parts));
    }

    /// <summary>The state of a motor after the work: "in tolerance", "OUT of tolerance", "undecided" or "not known".</summary>
    public static string Standing(MotorTilt tilt, double toleranceDeg)
    {
        ArgumentNullException.ThrowIfNull(tilt);
        return tilt.Standing(toleranceDeg) switch
        {
            MountStanding.InTolerance => "in tolerance",
            MountStanding.OutOfTolerance => "OUT of tolerance",
            MountStanding.Undecided => "undecided",
            _ => Format.NotKnown,
        };
    }

    /// <summary>The answer in one sentence from the readings after the work: which motors are in
    /// tolerance, out of it, or undecided.</summary>
    public static string AnswerAsLeft(ShimPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ILookup<MountStanding, string> ids = plan.Survey.AsLeft.ToLookup(t => t.Standing(plan.Options.ToleranceDeg), t => t.MotorId);
        string[] unread = [.. plan.Motors.Select(m => m.Motor.Id).Where(id => plan.Survey.Left(id) is null)];
        string Said(MountStanding standing, string end) => ids[standing].Any() ? $"{Grammar.List([.. ids[standing]])} {end}" : "";
        string[] parts =
        [
            Said(MountStanding.OutOfTolerance, "out of tolerance"),
            Said(MountStanding.InTolerance, "in tolerance"),
            Said(MountStanding.Undecided, "undecided within the uncertainty of the readings"),
            Said(MountStanding.NotKnown, "not known"),
            unread.Length > 0 ? $"{Grammar.List(unread)} not read yet" : "",
        ];
        return Grammar.Sentence($"after the work: {string.Join("; ", parts.Where(p => p.Length > 0))}");
    }

    /// <summary>What the next hover should show, for the bench.</summary>
    public static string Expect(ShimPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        HoverForecast f = plan.Forecast;
        if (f.SplitBefore.Value is null)
        {
            return $"What the hover will show is not known: {ReasonText.Clause(f.SplitBefore.Why)}.";
        }

        if (plan.Motors.All(m => m.Stacks is null))
        {
            return $"In hover {Split(f.SplitBefore)}; nothing is planned that would change it.";
        }

        if (f.SplitAfter.Value is null)
        {
            return $"As found {Split(f.SplitBefore)}; what it will show with these shims is not known: "
                + $"{ReasonText.Clause(f.SplitAfter.Why)}.";
        }

        string change = $"As found {Split(f.SplitBefore)}; with these shims {Split(f.SplitAfter)}.";
        return f.CoolerGroup is Spin spin && f.CoolerGroupThrustChange is double thrust
            ? $"{change} The {Group(plan.Airframe, spin)} should run cooler: they need about {Format.Number(-100 * thrust, 0)} % less thrust."
            : $"{change} Neither group is expected to run clearly cooler.";
    }

    /// <summary>Thrust that the tilt itself costs.</summary>
    public static string ThrustLost(ShimPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        double percent = 100 * plan.Forecast.ThrustLostBefore;
        string amount = percent < 0.01 ? "less than 0.01 %" : $"{Format.Number(percent, 2)} %";
        return $"Thrust lost to the tilt itself: {amount}. The cost of tilt is the speed split, not the lost thrust.";
    }

    /// <summary>What was fitted at a motor, what it should leave and what was read: "M1: right
    /// 0.2; should leave 0.00°, reads 0.00°".</summary>
    public static string Fitted(FittedShims fitted, Airframe airframe, Survey survey)
    {
        ArgumentNullException.ThrowIfNull(fitted);
        string leaves = Leaves(fitted, airframe, survey) is double left ? $"; should leave {Format.Number(left, 2)}°" : "";
        string reads = survey.Left(fitted.MotorId)?.MagnitudeDeg is double read
            ? $"{(leaves.Length > 0 ? "," : ";")} reads {Format.Number(read, 2)}°"
            : "";
        return $"{fitted.MotorId}: {fitted.Text}{leaves}{reads}";
    }

    /// <summary>Size of the tilt that fitted shims should leave, degrees, over the directions
    /// that are known; null when not known.</summary>
    internal static double? Leaves(FittedShims fitted, Airframe airframe, Survey survey) =>
        survey.Found(fitted.MotorId) is MotorTilt found && airframe.Find(fitted.MotorId) is Motor motor
            ? fitted.Leaves(found, motor.Level) switch
            {
                (double across, double along) => Math.Sqrt(across * across + along * along),
                (double across, null) => Math.Abs(across),
                (null, double along) => Math.Abs(along),
                _ => null,
            }
            : null;

    /// <summary>A yaw moment with its direction.</summary>
    public static string Moment(Estimate momentNm) =>
        momentNm.Value is double nm
            ? $"{Format.Number(Math.Abs(nm), 3)} N·m ± "
                + $"{Format.Number((momentNm.Ci95?.Width ?? 0) / 2, 3)}"
                + $"{(nm == 0 ? "" : nm > 0 ? ", nose to the right" : ", nose to the left")}"
            : $"{Format.NotKnown}, because {ReasonText.Clause(momentNm.Why)}";

    /// <summary>A tilt in degrees with its low side, such as "0.40 right"; "0.00" below 0.005°, a dash when not known.</summary>
    public static string Tilt(Estimate tilt, TiltDirection direction) =>
        tilt.Value is not double deg ? "-"
        : Math.Abs(deg) < 0.005 ? "0.00"
        : $"{Format.Number(Math.Abs(deg), 2)} {SideWord(deg, direction)}";

    /// <summary>The stack of a bolt: "0.3+0.1", or "none".</summary>
    public static string Stack(BoltShims bolt, bool inch)
    {
        ArgumentNullException.ThrowIfNull(bolt);
        return bolt.StackMm.Count == 0 ? "none" : string.Join("+", bolt.StackMm.Select(t => Thickness(t, inch)));
    }

    /// <summary>Where a motor's shims go: side and thickness, or "by bolt" where the bolts differ; empty without shims.</summary>
    internal static string Place(MotorShims motor, bool inch) =>
        motor is { IsOneSided: false, Stacks: not null, Side: not null } ? "by bolt"
        : motor.Side is LowSide side ? $"{side.Word()} {Thickness(motor.ThicknessMm!.Value, inch)}"
        : "";

    /// <summary>A thickness without unit: mm with one to four decimals, or inches with four, such as 0.0079.</summary>
    public static string Thickness(double mm, bool inch) =>
        inch ? Format.Number(mm / 25.4, 4) : (Math.Round(mm, 4)).ToString("0.0###", CultureInfo.InvariantCulture);

    /// <summary>What to do at a motor, in a few words.</summary>
    public static string Short(MotorShims motor)
    {
        ArgumentNullException.ThrowIfNull(motor);
        return motor.IsRead ? Short(motor.Action) : NotReadYet;
    }

    /// <summary>The two bolt distances and between which bolts each is measured; null where one
    /// distance describes the pattern.</summary>
    public static string? TwoDistances(BoltPattern bolts, bool inch)
    {
        ArgumentNullException.ThrowIfNull(bolts);
        string Size(double mm) =>
            inch ? $"{Format.Number(mm / MmPerInch, 3)} in" : $"{mm.ToString("0.##", CultureInfo.InvariantCulture)} mm";
        IReadOnlyList<(Bolt A, Bolt B, double DistanceMm)> pairs = bolts.OppositePairs;
        if (pairs.Count == 2 && Math.Abs(pairs[0].DistanceMm - pairs[1].DistanceMm) > SameMm)
        {
            return string.Join(", ", pairs.Select(p => $"{Size(p.DistanceMm)} from {p.A.Place} to {p.B.Place}"));
        }

        return
            pairs.Count == 2
            && bolts.Bolts.All(b => b.Place.Contains('-', StringComparison.Ordinal))
            && Math.Abs(bolts.AcrossSpanMm - bolts.AlongSpanMm) > SameMm
            ? $"{Size(bolts.AcrossSpanMm)} across the arm, {Size(bolts.AlongSpanMm)} along it"
            : null;
    }

    /// <summary>Why the shims of lower motors go on the other side; null where no lower motor is shimmed.</summary>
    public static string? Hanging(ShimPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        string[] ids = [.. plan.Motors.Where(m => m.Motor.Level == MotorLevel.Lower && m.Stacks is not null).Select(m => m.Motor.Id)];
        return ids.Length == 0
            ? null
            : $"{Grammar.List(ids)} {Grammar.Agree(ids.Length, "hangs", "hang")} below the mount: a shim there pushes its side of the motor "
                + $"down, not up. So the shims go on the high side, opposite the low one.";
    }

    private static string Short(ShimAction action) =>
        action switch
        {
            ShimAction.Shim => "shim",
            ShimAction.Leave => "leave",
            ShimAction.MeasureAgain => "measure again",
            _ => throw new ArgumentOutOfRangeException(nameof(action), action, "is no action"),
        };

    internal static string Code(this ShimAction action) => action == ShimAction.MeasureAgain ? "measure-again" : Short(action);

    internal static string Word(this LowSide side) =>
        side switch
        {
            LowSide.Right => "right",
            LowSide.Left => "left",
            LowSide.In => "in",
            LowSide.Out => "out",
            LowSide.Level => "level",
            _ => throw new ArgumentOutOfRangeException(nameof(side), side, "is no side"),
        };

    internal static string Word(this Spin spin) => spin == Spin.Clockwise ? "cw" : "ccw";

    private static string SideWord(double deg, TiltDirection direction) =>
        direction == TiltDirection.Across
            ? deg > 0
                ? "right"
                : "left"
            : deg > 0
                ? "out"
                : "in";

    private static string Split(Estimate split)
    {
        double percent = 100 * split.Value!.Value;
        string range = split.Ci95 is Interval ci
            ? $" ({Format.Range(percent < 0 ? new Interval(-100 * ci.High, -100 * ci.Low) : new Interval(100 * ci.Low, 100 * ci.High), 1)})"
            : "";
        (string more, string less) = percent < 0 ? ("ccw", "cw") : ("cw", "ccw");
        return $"the {more} motors turn {Format.Number(Math.Abs(percent), 1)} %{range} faster than the {less}";
    }

    private static string Group(Airframe airframe, Spin spin) =>
        $"{spin.Word()} motors and their ESCs ({string.Join(", ", airframe.Motors.Where(m => m.Spin == spin).Select(m => m.Id))})";
}
