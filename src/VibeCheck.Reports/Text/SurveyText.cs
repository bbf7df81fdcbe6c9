using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text about gauge readings, tilts and their cautions.</summary>
internal static class SurveyText
{
    /// <summary>One clause or sentence; null for any other cause.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            NoMountReading n => $"no mount reading {Way(n.Direction)} the arm",
            NoFrameReading n => $"no frame reading {Way(n.Direction)} the arm to compare the mount with",
            FrameReadOneWay => "the frame was read in one direction only at the hub, and this arm needs both",
            GaugeNotTurned => "the gauge was not read turned by 180° as well",
            TiltAcrossUnknown t => $"the tilt of {t.Motor} across its arm is not known",
            NoGaugeReading n => $"no gauge reading {(n.When == SurveyTime.AsFound ? "as found" : "as left")}",
            FrameAsFoundUsed f => $"{f.Motor} as left has no frame reading {Way(f.Direction)} the arm: the one as found is used, "
                + "which is right only if the aircraft has not been moved since.",
            ShimsDoNotExplainTilt s =>
                $"{s.Motor}: the shims noted ({s.AsNoted}) should leave {Format.Number(Math.Abs(s.ExpectedDeg), 2)}° {Way(s.Direction)} "
                    + $"the arm, "
                    + $"but it reads {Format.Number(Math.Abs(s.ReadDeg), 2)}"
                    + $"°{(Math.Sign(s.ReadDeg) * Math.Sign(s.ExpectedDeg) < 0 ? " to the other side" : "")}: "
                    + "check under which bolts they lie and that nothing slipped.",
            NothingReadTwice n => $"Nothing was read twice, so the readings do not show how well they repeat. The ± figures use the "
                + $"{(n.IsGiven ? "stated" : "usual")} repeatability of {Format.Trimmed(n.RepeatabilityDeg, 2, 3)}°. Lift the gauge, set it "
                + "down again and read each place at least twice.",
            FrameReadOnceAtHub f =>
                $"The frame was read once at the hub, so the gauge's zero error (taken as up to ±{Format.Trimmed(f.AccuracyDeg, 1, 3)}°) "
                    + "does not cancel and widens the ± figures: read the hub with the gauge turned by 180° as well, or beside "
                    + "each motor.",
            ZeroErrorTooLarge z =>
                $"The gauge's zero error comes out as {Format.Number(z.ZeroErrorDeg, 2)}°, more than ±{Format.Number(z.AccuracyDeg, 2)}°: "
                    + "zero the gauge, and check that the low side was entered as it lies in the room, not as it looks on the "
                    + "turned gauge.",
            MountMoved m => Of(m.Movement),
            _ => null,
        };

    /// <summary>One sentence on whether a mount moved.</summary>
    internal static string Of(MountMovement move)
    {
        string way =
            $"{Way(move.Direction)} the arm {(move.Occasion == MoveOccasion.Knock ? "after the knock" : "since the last reading as left")}";
        string amount =
            $"{Format.Number(Math.Abs(move.MovedDeg.Value ?? 0), 2)}° ± {Format.Number((move.MovedDeg.Ci95?.Width ?? 0) / 2, 2)}°";
        return move.Moved
            ? $"{move.MotorId} moved by {amount} {way}, more than the gauge explains: arm or mount is not rigid enough "
                + "for shims to hold. Look for play first."
            : $"{move.MotorId} shows no move {way} ({amount}).";
    }

    /// <summary>A source of uncertainty.</summary>
    internal static string Of(UncertaintyPart part)
    {
        string what = part.Name switch
        {
            "display-steps" => "display steps",
            "zero-error-by-reversal" => "zero error, from reversal",
            "zero-error-kept" => "zero error, which does not cancel here",
            "torque-per-thrust" => "torque per thrust",
            "arm-lengths" => "arm lengths",
            "propellers-unlike" => "differences between propellers",
            "thrust-exponent" => "exponent of thrust against speed",
            "tilt" => $"tilt of {part.Place}",
            "tilts" => "tilts of all motors",
            _ => part.Name,
        };
        string? place = part.Place switch
        {
            "frame-right-to-left" => "frame, right to left",
            "frame-nose-to-tail" => "frame, nose to tail",
            _ => part.Place,
        };
        return place is null || part.Name == "tilt" ? what : $"{place}{(part.Turned ? " turned" : "")}: {what}";
    }

    /// <summary>"across" or "along".</summary>
    internal static string Way(TiltDirection direction) => direction == TiltDirection.Across ? "across" : "along";
}
