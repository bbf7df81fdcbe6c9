using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Text of the next steps.</summary>
internal static class NextStepText
{
    /// <summary>The steps of a comparison, most useful first, each once.</summary>
    internal static IReadOnlyList<string> Of(Comparison comparison)
    {
        string[] unmoved =
        [
            .. comparison.NextSteps.OfType<FollowFinding>().Select(f => f.Finding).OfType<TiltReducedVibrationNot>().Select(t => t.Motor),
        ];
        return [.. comparison.NextSteps.Select(s => Unmoved(s, unmoved) ?? ReasonText.Of(s)).Distinct()];
    }

    /// <summary>One step for several motors whose tilt fell while their vibration did not.</summary>
    private static string? Unmoved(Reason step, string[] motors) =>
        step is FollowFinding { Finding: TiltReducedVibrationNot } && motors.Length > 1
            ? $"Propellers off and battery out: look for bent shafts and play in the bearings of {Grammar.List(motors)}. "
                + "Then swap the propeller of each "
                + "with that of a calm motor of the same spin, never with one another, and fly again: where the "
                + "vibration goes with the propeller, "
                + "balance or replace it; where it stays, run that motor on the bench without a propeller: if it "
                + "shakes there too, it is bell, shaft or bearing."
            : null;

    /// <summary>One sentence; null where the cause is not a step.</summary>
    internal static string? Of(Reason cause) =>
        cause switch
        {
            CheckStageOrder => "Check in the job file which flights stand under before and which under after; "
                + "if a recorder's clock was wrong, compare with --ignore-dates.",
            LogTelemetry t =>
                "Log ESC telemetry (speed, current, temperatures) on every flight and name it as esc in the job file: without it "
                    + (
                        t.GroupIsKnown
                            ? "the share of each motor and the temperatures stay unknown."
                            : "orders and temperatures stay unknown."
                    ),
            LogRotorSpeeds => "Log rotor speeds with the flight, and the IMU at 500 Hz or more: without them the rotors' share of "
                + "the vibration stays unknown.",
            LogRotorSpeedsByMotor =>
                "Log rotor speeds with the flight: then the vibration is known motor by motor, not only that of all rotors together.",
            GiveAmbient => "Write ambient_c for each flight in the job file, or start the log while all motors are still cold: "
                + "without it steady rises are not known.",
            FlyLongerForTemperatures =>
                "Fly three minutes of steady hover on each side: temperatures need at least 45 s of readings, and more to be sure.",
            LogTemperatures => "Log motor or ESC temperatures if the ESCs report them. Without them nothing is known about cooling.",
            FlyBothAlike => "Fly both states alike: same mass, battery, propellers and logger, two minutes or more of steady "
                + "hover, and compare those flights.",
            FlyLonger f =>
                $"{Could(f.Quantity, f.SmallestShown)}, mostly because the hover is short. To show a smaller change, fly another "
                    + $"{Grammar.Count(f.Minutes, "minute")} of steady hover before and after.",
            FlyMoreFlights f => $"{Could(f.Quantity, f.SmallestShown)}, mostly because one flight differs from the next. To show a smaller "
                + $"change, fly {Grammar.Count(f.Flights, "flight")} before and {Format.Whole(f.Flights)} after.",
            LookAtWhatGotWorse w => "Before the next flight, propellers off and battery out: "
                + $"look at {(w.Motors.Count > 0 ? Grammar.List(w.Motors) : "what got worse")} "
                + "(screw torque, a shim that slipped, a pinched bearing, a propeller put back differently).",
            FollowFinding f => FindingText.Of(f.Finding)?.NextCheck ?? ReasonText.Of(f.Finding),
            KeepAsReference => "Keep these flights as the new reference, and measure again after the next work on the mounts.",
            _ => null,
        };

    private static string Could(Quantity quantity, double shown) =>
        $"The smallest change in {(quantity == Quantity.Vibration ? "vibration" : VerdictReasonText.Subject(quantity))} that these flights could "
        + $"show is {Format.Number(shown, 1)} {(quantity == Quantity.Vibration ? "dB" : "°C")}";
}
