using static VibeCheck.Core.Findings.CheapestCheck;
using static VibeCheck.Core.Findings.LikelyCause;
using static VibeCheck.Core.Findings.LimitSource;
using static VibeCheck.Core.Findings.RuleLimit;

namespace VibeCheck.Core.Findings;

/// <summary>The table from which all findings of a flight are made. To change a finding, change its line. To add one, add a line here, an
/// observation with its numbers next to the others of its kind, and its text in Reports.</summary>
/// <remarks>docs/methods/findings.md shows this table; a test checks that the two are equal.</remarks>
public static class FindingRules
{
    // Findings that also appear in a log that is clipped, folded or filtered.
    private static readonly string[] s_falseLines = ["looseness", "bearing-tone", "steady-line", "broadband", "hard-knocks"];

    /// <summary>One line for each code.</summary>
    public static IReadOnlyList<FindingRule> All { get; } =
    [
        new(
            "order-1-stands-out",
            [
                new("times-middle-of-others", "", null, 2, 5, CommonPractice),
                Gate("size", "m/s²", 0.3),
                Gate("whole-size-over-middle", "", 2.2, MadeFlights),
            ],
            [PropellerUnbalance, PropellerDamage, BentShaft, TiltedMount],
            SwapPropellers,
            ["blade-pass-stands-out", "looseness", "resonance-near-order"]
        ),
        new(
            "blade-pass-stands-out",
            [new("times-middle-of-others", "", 2, 3.2, 8, MadeFlights), Gate("size", "m/s²", 0.3)],
            [PropellerDamage, BladeTrack, PartUnderDisc],
            LookAtBlades,
            ["resonance-near-order"]
        ),
        new(
            "looseness",
            [
                new("size-of-half-orders", "m/s²", null, 0.15, 1, CommonPractice),
                Gate("times-floor", "", 3),
                Gate("share-of-mean-square", "", 0.01),
            ],
            [LooseArm, LooseMotor, WornBearing],
            FeelForPlay,
            ["hard-knocks", "bearing-tone"]
        ),
        new(
            "bearing-tone",
            [new("size", "m/s²", null, 0.15, 1, CommonPractice), Gate("share-of-mean-square", "", 0.01)],
            [WornBearing, RubbingBell],
            TurnBell,
            ["draws-more", "hot-motor", "steady-line"]
        ),
        new(
            "steady-line",
            [new("size", "m/s²", 0.15, 1, null, CommonPractice), Gate("share-of-mean-square", "", 0.01)],
            [PayloadMachine, RecorderElectronics, WornBearing],
            SwitchOff,
            []
        ),
        new(
            "broadband",
            [new("size", "m/s²", 1.5, 3, 8, CommonPractice), Gate("share-of-mean-square", "", 0.5)],
            [Wind, LoosePart, ImuMount],
            PressAndShake,
            ["steady-line"]
        ),
        new(
            "hard-knocks",
            [new("largest", "m/s²", null, 3, 30, CommonPractice), Gate("number", "", 2), Gate("largest-over-all-vibration", "", 1)],
            [LooseBattery, CableInDisc, LoosePart],
            PressAndShake,
            ["broadband"]
        ),
        new(
            "resonance-near-order",
            [Gate("nearness-to-order", "", 0.9, ResonanceGain), new("size-of-order", "m/s²", 0.3, 1.2, null, MadeFlights)],
            [SoftFrame, LooseArm, ImuMount],
            TapFrame,
            ["order-1-stands-out", "blade-pass-stands-out", "broadband"]
        ),
        new(
            "soft-imu-mount",
            [new("rotor-over-resonance", "", 1.43, null, null, CommonPractice), Gate("damping-ratio", "", 0.05)],
            [ImuMount],
            PressAndShake,
            ["broadband"]
        ),
        new(
            "yaw-trim",
            [new("split", "", null, 0.02, 0.08, CommonPractice)],
            [TiltedMount, PropellerDiffers],
            MeasureTilt,
            ["at-full-command"]
        ),
        new(
            "centre-of-gravity",
            [new("offset-over-arm", "", null, 0.05, null, CommonPractice)],
            [LoadOffMiddle],
            BalanceOnFingers,
            ["at-full-command"]
        ),
        new(
            "carries-more",
            [new("share-above-middle", "", 0.08, 0.15, 0.3, CommonPractice), Gate("log-odds-against-trim", "", 2, MadeFlights)],
            [PropellerDamage, PropellerDiffers],
            ComparePropellers,
            ["yaw-trim", "centre-of-gravity", "hot-motor", "hot-esc", "at-full-command"]
        ),
        new(
            "hot-motor",
            [new("share-above-expected", "", null, 0.25, 0.4, CommonPractice), new("above-expected", "°C", null, 5, 10, CommonPractice)],
            [WornBearing, RubbingBell, DamagedWinding, PoorCooling],
            NoLoadCurrent,
            []
        ),
        new(
            "hot-esc",
            [new("share-above-expected", "", null, 0.25, 0.4, CommonPractice), new("above-expected", "°C", null, 5, 10, CommonPractice)],
            [PoorCooling, SolderJoint, EscSettings],
            LookAtEsc,
            []
        ),
        new(
            "draws-more",
            [new("current-at-equal-speed", "", 1.1, 1.15, 1.4, RotorTheory)],
            [PropellerDiffers, WornBearing, RubbingBell, DamagedWinding, WeakMagnets, EscSettings],
            NoLoadCurrent,
            ["hot-motor", "hot-esc", "at-full-command", "sagging-battery"]
        ),
        new(
            "at-full-command",
            [new("share-of-hover", "", 0.005, 0.02, 0.1, CommonPractice)],
            [TooHeavy, TiredBattery, PropellerDamage],
            WeighAndCharge,
            []
        ),
        new(
            "speed-drops",
            [new("depth", "", 0.04, 0.08, 0.25, CommonPractice), Gate("number", "", 1)],
            [LostStep, SolderJoint, EscSettings],
            SwapEsc,
            [.. s_falseLines, "at-full-command", "order-1-stands-out", "blade-pass-stands-out", "draws-more"]
        ),
        new(
            "clipping",
            [new("share-of-samples", "", null, 1e-4, 0.02, CommonPractice)],
            [RangeTooSmall],
            SetRecorder,
            [.. s_falseLines, "resonance-near-order", "order-1-stands-out", "blade-pass-stands-out", "soft-imu-mount"]
        ),
        new(
            "slow-logger",
            [new("needed-rate-over-rate", "", null, 1, null, CommonPractice)],
            [RateTooLow],
            SetRecorder,
            [.. s_falseLines, "resonance-near-order", "soft-imu-mount", "order-1-stands-out", "blade-pass-stands-out", "filtered-log"]
        ),
        new(
            "filtered-log",
            [new("dip-at-orders", "dB", 4, 6, null, MadeFlights)],
            [LogBehindFilters],
            SetRecorder,
            [.. s_falseLines, "resonance-near-order", "order-1-stands-out", "blade-pass-stands-out", "soft-imu-mount"]
        ),
        new(
            "loose-telemetry",
            [new("share-lost", "", null, 0.02, 0.3, CommonPractice)],
            [TelemetryLead, BusyLink, SolderJoint],
            LookAtLead,
            ["carries-more", "draws-more", "speed-drops", "hot-motor", "hot-esc", "at-full-command"]
        ),
        new(
            "sagging-battery",
            [new("share-of-voltage", "", 0.08, 0.1, 0.16, CommonPractice)],
            [TiredBattery, SolderJoint, TooHeavy],
            MeasureBattery,
            ["at-full-command", "speed-drops"]
        ),
    ];

    /// <summary>The line of a code.</summary>
    /// <exception cref="InvalidOperationException">There is no such code.</exception>
    public static FindingRule Of(string code) => All.First(r => r.Code == code);
}
