using VibeCheck.Core.Flights;

namespace VibeCheck.Core.Findings;

/// <summary>The source of a limit.</summary>
public enum LimitSource
{
    /// <summary>Common practice of people who build and maintain small multirotors.</summary>
    CommonPractice,

    /// <summary>Set on simulated flights of one set of seeds (campaign "findings"), checked on another.</summary>
    MadeFlights,

    /// <summary>Gain of a lightly damped resonance, 1 / (1 - r²), at least fivefold within a tenth of its frequency (textbooks on
    /// vibration).</summary>
    ResonanceGain,

    /// <summary>Thrust scales with speed squared, power with its third power (momentum theory of rotors).</summary>
    RotorTheory,
}

/// <summary>A possible cause of a finding.</summary>
public enum LikelyCause
{
    /// <summary>Unbalanced propeller.</summary>
    PropellerUnbalance,

    /// <summary>Damaged propeller.</summary>
    PropellerDamage,

    /// <summary>Blades that do not run in one plane, or a loose blade.</summary>
    BladeTrack,

    /// <summary>Propeller of another kind or size than the others.</summary>
    PropellerDiffers,

    /// <summary>Bent shaft or bell out of true.</summary>
    BentShaft,

    /// <summary>Tilted motor mount or twisted arm.</summary>
    TiltedMount,

    /// <summary>A part close below the propeller.</summary>
    PartUnderDisc,

    /// <summary>Loose arm or fold joint.</summary>
    LooseArm,

    /// <summary>Loose motor screws or hub.</summary>
    LooseMotor,

    /// <summary>Worn or dirty bearing.</summary>
    WornBearing,

    /// <summary>Something rubs against the bell.</summary>
    RubbingBell,

    /// <summary>Gimbal, fan or pump of the payload.</summary>
    PayloadMachine,

    /// <summary>Electronics of the recorder.</summary>
    RecorderElectronics,

    /// <summary>Wind and rotor wash.</summary>
    Wind,

    /// <summary>Loose cover, cable or antenna.</summary>
    LoosePart,

    /// <summary>The mounting of the IMU.</summary>
    ImuMount,

    /// <summary>Frame too soft, cracked or not clamped.</summary>
    SoftFrame,

    /// <summary>Loose battery or landing gear.</summary>
    LooseBattery,

    /// <summary>Cable within reach of a propeller.</summary>
    CableInDisc,

    /// <summary>Battery or payload not centred.</summary>
    LoadOffMiddle,

    /// <summary>Winding damaged by heat or a screw.</summary>
    DamagedWinding,

    /// <summary>Poor cooling.</summary>
    PoorCooling,

    /// <summary>Solder joint or plug.</summary>
    SolderJoint,

    /// <summary>Settings of the ESC, such as timing.</summary>
    EscSettings,

    /// <summary>Weak magnets.</summary>
    WeakMagnets,

    /// <summary>Aircraft too heavy for its motors.</summary>
    TooHeavy,

    /// <summary>Aged, cold, small or empty battery.</summary>
    TiredBattery,

    /// <summary>Motor and ESC lose synchronisation.</summary>
    LostStep,

    /// <summary>Range of the sensor too small.</summary>
    RangeTooSmall,

    /// <summary>Logging rate set too low.</summary>
    RateTooLow,

    /// <summary>Log written after the controller's filters.</summary>
    LogBehindFilters,

    /// <summary>Telemetry lead or plug.</summary>
    TelemetryLead,

    /// <summary>Telemetry link too busy.</summary>
    BusyLink,
}

/// <summary>The cheapest check that distinguishes the likely causes.</summary>
public enum CheapestCheck
{
    /// <summary>Swap propellers with calm motors, then run the motor without one.</summary>
    SwapPropellers,

    /// <summary>Inspect the blades.</summary>
    LookAtBlades,

    /// <summary>Feel for play.</summary>
    FeelForPlay,

    /// <summary>Turn the bell by hand, then run without propeller.</summary>
    TurnBell,

    /// <summary>Log on the ground and switch components off one by one.</summary>
    SwitchOff,

    /// <summary>Press on the IMU, shake cables and covers.</summary>
    PressAndShake,

    /// <summary>Tap the frame.</summary>
    TapFrame,

    /// <summary>Measure the tilt of all mounts.</summary>
    MeasureTilt,

    /// <summary>Balance the aircraft on two fingers.</summary>
    BalanceOnFingers,

    /// <summary>Compare the propellers, then swap two.</summary>
    ComparePropellers,

    /// <summary>Feel the cold motor, compare no-load currents.</summary>
    NoLoadCurrent,

    /// <summary>Inspect cooling, joints and settings.</summary>
    LookAtEsc,

    /// <summary>Weigh the aircraft, read the battery.</summary>
    WeighAndCharge,

    /// <summary>Compare settings and joints of the ESC, swap it with another.</summary>
    SwapEsc,

    /// <summary>Measure the resistance of the battery.</summary>
    MeasureBattery,

    /// <summary>Change a setting of the recorder.</summary>
    SetRecorder,

    /// <summary>Inspect telemetry lead, plug and joint.</summary>
    LookAtLead,
}

/// <summary>A quantity on which a finding is based, with the limit of each degree. The end of its interval that is nearer to the limit must
/// exceed it.</summary>
/// <param name="Quantity">The quantity that is compared with the limits, in kebab case.</param>
/// <param name="Unit">Unit of the limits; empty for a ratio or number.</param>
/// <param name="Note">Above it: good to know; null where that degree is not used.</param>
/// <param name="Look">Above it: worth a look; null where that degree is not used.</param>
/// <param name="Act">Above it: before the next flight; null where that degree is not used.</param>
/// <param name="Source">Source of the limits.</param>
public sealed record RuleLimit(string Quantity, string Unit, double? Note, double? Look, double? Act, LimitSource Source)
{
    /// <summary>A limit that must be exceeded for any degree.</summary>
    internal static RuleLimit Gate(string quantity, string unit, double value, LimitSource source = LimitSource.CommonPractice) =>
        new(quantity, unit, value, value, value, source);

    /// <summary>Whether the same limit applies to every degree.</summary>
    public bool IsGate => Note is not null && Note == Act;

    /// <summary>The highest degree whose limit a value exceeds; null where it exceeds none.</summary>
    internal Severity? Reached(double value) =>
        value > Act ? Severity.Act
        : value > Look ? Severity.Look
        : value > Note ? Severity.Note
        : null;

    internal double Least => Note ?? Look ?? Act ?? double.PositiveInfinity;
}

/// <summary>One kind of finding: its conditions, its possible causes, and the first thing to do.</summary>
/// <param name="Code">Its code.</param>
/// <param name="Limits">All must be exceeded; the lowest degree among them is that of the finding.</param>
/// <param name="Causes">Likely causes, most likely first.</param>
/// <param name="Check">The cheapest check that distinguishes them.</param>
/// <param name="Explains">Findings that follow from it, at the same motor or where one of the two concerns the whole aircraft.</param>
public sealed record FindingRule(
    string Code,
    IReadOnlyList<RuleLimit> Limits,
    IReadOnlyList<LikelyCause> Causes,
    CheapestCheck Check,
    IReadOnlyList<string> Explains
);
