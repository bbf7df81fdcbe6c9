using System.Globalization;
using VibeCheck.BenchSheet.State;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Sheets;
using VibeCheck.Reports.Text;

namespace VibeCheck.BenchSheet.Text;

/// <summary>The texts of the sheet.</summary>
internal static class SheetText
{
    private const double MmPerInch = 25.4;

    /// <summary>The caution before work on a motor.</summary>
    internal const string Caution = "Propellers off and battery out before anything else. Motors and ESCs may be hot.";

    /// <summary>The caution before the screws are tightened.</summary>
    internal const string TorqueCaution =
        "Tighten all screws of a motor crosswise to the same torque, the maker's figure, then read again: tightening moves the mount.";

    /// <summary>The caution before the next flight.</summary>
    internal const string FlightCaution =
        "First flight after the work: a low hover, away from people, within local rules and the maker's limits.";

    /// <summary>A side, as the label of its button.</summary>
    internal static string Side(LowSide side, bool atHub) =>
        side switch
        {
            LowSide.Out when atHub => "nose",
            LowSide.In when atHub => "tail",
            _ => side.ToString().ToLowerInvariant(),
        };

    /// <summary>A place, such as "Frame, across the arm".</summary>
    internal static string Step(WorkStep step, bool atHub)
    {
        string where = step.Where == GaugePlace.Frame ? "Frame" : "Mount";
        string along = (step.Direction, atHub) switch
        {
            (TiltDirection.Across, true) => "right to left",
            (_, true) => "nose to tail",
            (TiltDirection.Across, _) => "across the arm",
            _ => "along the arm",
        };
        return $"{where}, {along}";
    }

    /// <summary>From where the drawing shows a motor.</summary>
    internal static string SeenFrom(Motor? motor) => motor?.Level == MotorLevel.Lower ? "seen from below" : "seen from above";

    /// <summary>What the next reading is for, or that no further one is needed.</summary>
    internal static string Guide(NextReading? next, WorkStep at, int count)
    {
        if (next is null)
        {
            return "No further reading is needed here.";
        }

        if (next.Where != at.Where || next.Direction != at.Direction)
        {
            return count == 0 ? "Out of order; any place may be read." : "One extra reading, out of order.";
        }

        string more = next.More == 1 ? "One more reading" : string.Create(CultureInfo.InvariantCulture, $"{next.More} more readings");
        return next.Purpose switch
        {
            ReadingPurpose.FirstReading => "Set the gauge down and read.",
            ReadingPurpose.Repeatability => "Lift the gauge and read again, to see how well it repeats.",
            ReadingPurpose.Tolerance => $"{more} at each place would show whether it is in tolerance.",
            _ => $"{more} at each place would settle the thickness.",
        };
    }

    /// <summary>A tilt with its uncertainty, such as "0.40° ± 0.10° right low".</summary>
    internal static string Tilt(Estimate tilt, TiltDirection direction)
    {
        if (tilt.Value is not double deg)
        {
            return "not known yet";
        }

        string size = Math.Abs(deg).ToString("0.00", CultureInfo.InvariantCulture);
        string side =
            size == "0.00"
                ? ""
                : (direction, deg > 0) switch
                {
                    (TiltDirection.Across, true) => " right low",
                    (TiltDirection.Across, false) => " left low",
                    (_, true) => " out low",
                    _ => " in low",
                };
        return tilt.Ci95 is Interval ci
            ? string.Create(CultureInfo.InvariantCulture, $"{size}° ± {ci.Width / 2:0.00}°{side}")
            : $"{size}°{side}";
    }

    /// <summary>What to do at a motor, from the readings as found.</summary>
    internal static string Action(MotorShims work, ShimPlan plan, bool inch) =>
        work.Action switch
        {
            ShimAction.Shim when work.Stacks is null => "Out of tolerance. The airframe file gives no bolts, so there is no shim plan.",
            ShimAction.Shim =>
                $"{(work.IsOneSided ? $"Shim {Length(work.ThicknessMm ?? 0, inch)} {SideName(work.Side)}" : "Shim each bolt as drawn")}; leaves {Degrees(work.Stacks!.ResidualDeg)}"
                    + (work.Stacks.ResidualDeg > plan.Options.ToleranceDeg + ShimOptions.EqualDeg ? ", still out of tolerance" : ""),
            ShimAction.Leave => "Leave it: "
                + (
                    work.Tilt is { MagnitudeDeg: double deg, U95Deg: double half } && deg + half <= plan.Options.ToleranceDeg
                        ? "in tolerance"
                        : "a shim would change little"
                ),
            _ when work.Tilt?.MagnitudeDeg is null => "Not read yet",
            _ => "Not yet clear whether it is in tolerance",
        };

    /// <summary>The state of a motor after the work.</summary>
    internal static string Standing(MotorTilt? tilt, double toleranceDeg) =>
        tilt?.Standing(toleranceDeg) switch
        {
            null or MountStanding.NotKnown => "Not read yet",
            MountStanding.InTolerance => "In tolerance",
            MountStanding.OutOfTolerance => "Out of tolerance",
            _ => "Not clear whether it is in tolerance",
        };

    /// <summary>The text in a motor's ring on the plan.</summary>
    internal static string Short(MotorShims work, MotorTilt? left, double toleranceDeg, bool inch) =>
        left?.MagnitudeDeg is not null
            ? left.Standing(toleranceDeg) switch
            {
                MountStanding.InTolerance => "done",
                MountStanding.OutOfTolerance => "out",
                _ => "?",
            }
            : work.Action switch
            {
                ShimAction.Shim => work.ThicknessMm is double mm ? Number(mm, inch) : "out",
                ShimAction.Leave => "leave",
                _ => work.Tilt?.MagnitudeDeg is null ? "" : "?",
            };

    /// <summary>What to look out for on the whole aircraft.</summary>
    internal static IReadOnlyList<string> Cautions(ShimPlan plan) => ShimReasonText.Cautions(plan, Words);

    /// <summary>What to look out for at one motor.</summary>
    internal static IReadOnlyList<string> CautionsOf(ShimPlan plan, string motor) =>
        ShimReasonText.Cautions(plan with { Cautions = [.. plan.Cautions.OfType<MotorCaution>().Where(c => c.Motor == motor)] }, Words);

    /// <summary>Words for what a survey or a plan names.</summary>
    private static string Words(Reason cause) =>
        SurveyText.Of(cause)
        ?? ShimReasonText.Of(cause, Words)
        ?? throw new InvalidOperationException($"no words for {cause.GetType().Name}");

    /// <summary>The pieces under a bolt, such as "0.2 + 0.1 mm".</summary>
    internal static string Stack(IReadOnlyList<double> stackMm, bool inch) =>
        stackMm.Count == 0 ? "none" : $"{string.Join(" + ", stackMm.Select(mm => Number(mm, inch)))} {(inch ? "in" : "mm")}";

    /// <summary>What shims should leave of the tilt as found.</summary>
    internal static string Leaves(FittedShims fitted, MotorShims work)
    {
        if (work.Tilt is not MotorTilt found)
        {
            return "the motor was not read as found, so what they leave is not known";
        }

        (double? across, double? along) = fitted.Leaves(found, work.Motor.Level);
        string Way(double? deg, TiltDirection direction) =>
            deg is double known ? Tilt(Estimate.WithoutInterval(known, new NotMeasured()), direction) : "not known";
        return $"should leave {Way(across, TiltDirection.Across)} across, {Way(along, TiltDirection.Along)} along";
    }

    /// <summary>What to do next with a gauge that shows no side.</summary>
    internal static string Trial(SheetView view, bool atHub)
    {
        (string left, string right) =
            view.Direction == TiltDirection.Across ? ("left", "right")
            : atHub ? ("tail", "nose")
            : ("inner", "outer");
        return view.TrialPlain.Length == 0 ? "Take: gauge as it lies"
            : view.TrialLeft.Length == 0 ? $"{view.TrialPlain}°. Take: trial shim under the {left} end"
            : $"{view.TrialPlain}°, {view.TrialLeft}°. Take: trial shim under the {right} end";
    }

    /// <summary>A length with its unit.</summary>
    internal static string Length(double mm, bool inch) => $"{Number(mm, inch)} {(inch ? "in" : "mm")}";

    /// <summary>A length without its unit.</summary>
    internal static string Number(double mm, bool inch) =>
        (inch ? mm / MmPerInch : mm).ToString(inch ? "0.000#" : "0.###", CultureInfo.InvariantCulture);

    /// <summary>Short form of a reading, such as "0.4 R".</summary>
    internal static string Reading(ReadingEntry r)
    {
        string angle =
            r.LowDeg == r.HighDeg
                ? r.LowDeg.ToString(CultureInfo.InvariantCulture)
                : string.Create(CultureInfo.InvariantCulture, $"{r.LowDeg}/{r.HighDeg}");
        string side = r.LowSide == LowSide.Level ? "level" : Side(r.LowSide, r.Motor is null);
        return $"{angle}° {side}";
    }

    /// <summary>Where the readings are.</summary>
    internal static string Saved(Connection connection, int unsent, int refused, bool isStored)
    {
        string waiting = unsent == 1 ? "1 entry waits" : string.Create(CultureInfo.InvariantCulture, $"{unsent} entries wait");
        return !isStored ? "This browser does not store the readings. Do not close this page; export survey.csv before you do."
            : refused > 0
                ? string.Create(
                    CultureInfo.InvariantCulture,
                    $"The computer did not take {refused} of the entries. They are kept here: export survey.csv."
                )
            : connection switch
            {
                Connection.Connected => unsent == 0
                    ? "Saved on this phone and on the computer."
                    : $"Saved on this phone; {waiting} to be sent.",
                Connection.NoServer => "Saved on this phone. Export survey.csv when done.",
                Connection.NotAllowed => $"Saved on this phone. The computer asks for the code: scan it again. {waiting} to be sent.",
                Connection.OtherJob => $"Saved on this phone. The computer has another job open; {waiting} until this one is open again.",
                _ => unsent == 0
                    ? "Saved on this phone. The computer does not answer now."
                    : $"Saved on this phone; {waiting} for the connection.",
            };
    }

    private static string SideName(LowSide? side) =>
        side switch
        {
            LowSide.Right or LowSide.Left => $"on the {side.Value.ToString().ToLowerInvariant()}",
            LowSide.In => "on the inside",
            LowSide.Out => "on the outside",
            _ => "",
        };

    private static string Degrees(double deg) => deg.ToString("0.00", CultureInfo.InvariantCulture) + "°";
}
