using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Text;

/// <summary>Words for what to do next.</summary>
internal static class NextStepText
{
    /// <summary>The steps of a comparison, most useful first, each once.</summary>
    internal static IReadOnlyList<string> Of(Comparison comparison) => [.. comparison.NextSteps.Select(s => ReasonText.Of(s)).Distinct()];

    /// <summary>One sentence; null where the cause is no step.</summary>
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
            LogRotorSpeeds =>
                "Log rotor speeds with the flight, and the IMU at 500 Hz or more: without them the rotors' share of the vibration stays unknown.",
            LogRotorSpeedsByMotor =>
                "Log rotor speeds with the flight: then the vibration is known motor by motor, not only that of all rotors together.",
            GiveAmbient => "Write ambient_c for each flight in the job file, or start the log while all motors are still cold: "
                + "without it steady rises are not known.",
            FlyLongerForTemperatures =>
                "Fly three minutes of steady hover on each side: temperatures need at least 45 s of readings, and more to be sure.",
            LogTemperatures => "Log motor or ESC temperatures where the ESCs can give them: without them cooling stays unknown.",
            FlyBothAlike =>
                "Fly both states alike: same mass, battery, propellers and logger, two minutes or more of steady hover, and compare those flights.",
            FlyLonger f => $"{Could(f.Quantity, f.SmallestShown)}, mostly because the hover is short: "
                + $"fly another {Say.Number(f.Minutes, 0)} minutes of steady hover on each side to settle smaller ones.",
            FlyMoreFlights f => $"{Could(f.Quantity, f.SmallestShown)}, mostly because flights scatter: "
                + $"{Say.Whole(f.Flights)} flights on each side would settle a smaller one.",
            LookAtWhatGotWorse w => "Before the next flight, propellers off and battery out: "
                + $"look at {(w.Motors.Count > 0 ? Say.List(w.Motors) : "what got worse")} "
                + "(torque of the screws, a shim that slipped, a nipped bearing, a propeller put back differently).",
            FollowFinding f => FindingText.Of(f.Finding)?.NextCheck ?? ReasonText.Of(f.Finding),
            KeepAsReference => "Keep these flights as the new reference, and measure again after the next work on the mounts.",
            _ => null,
        };

    private static string Could(Quantity quantity, double shown) =>
        $"These flights could have shown a change of {(quantity == Quantity.Vibration ? "vibration" : VerdictText.Subject(quantity))} "
        + $"of {Say.Number(shown, 1)} {(quantity == Quantity.Vibration ? "dB" : "°C")}";
}
