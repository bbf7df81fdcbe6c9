using VibeCheck.Core.Flights;

namespace VibeCheck.Core.Findings;

/// <summary>Where a limit comes from.</summary>
public enum LimitSource
{
    /// <summary>Common practice of people who build and maintain small multirotors.</summary>
    CommonPractice,

    /// <summary>Set on simulated flights of one set of seeds (campaign "findings"), checked on another.</summary>
    MadeFlights,

    /// <summary>Gain of a lightly damped resonance, 1 / (1 - r²), at least fivefold within a tenth of its frequency (text books of
    /// vibration).</summary>
    ResonanceGain,

    /// <summary>Thrust scales with speed squared, power with its third power (momentum theory of rotors).</summary>
    RotorTheory,
}

/// <summary>What may lie behind a finding.</summary>
public enum LikelyCause
{
    /// <summary>Unbalanced propeller.</summary>
    PropellerUnbalance,

    /// <summary>Damaged propeller.</summary>
    PropellerDamage,

    /// <summary>Blades that do not track, or a loose blade.</summary>
    BladeTrack,

    /// <summary>Another kind or size of propeller than the others.</summary>
    PropellerDiffers,

    /// <summary>Bent shaft or bell out of true.</summary>
    BentShaft,

    /// <summary>Tilted motor mount or twisted arm.</summary>
    TiltedMount,

    /// <summary>Part close under the propeller.</summary>
    PartUnderDisc,

    /// <summary>Loose arm or fold joint.</summary>
    LooseArm,

    /// <summary>Loose motor screws or hub.</summary>
    LooseMotor,

    /// <summary>Worn or dirty bearing.</summary>
    WornBearing,

    /// <summary>Something rubs on the bell.</summary>
    RubbingBell,

    /// <summary>Gimbal, fan or pump of the payload.</summary>
    PayloadMachine,

    /// <summary>Electronics of the recorder.</summary>
    RecorderElectronics,

    /// <summary>Wind and rotor wash.</summary>
    Wind,

    /// <summary>Loose cover, cable or antenna.</summary>
    LoosePart,

    /// <summary>The way the IMU is held.</summary>
    ImuMount,

    /// <summary>Frame too soft, cracked or not clamped.</summary>
    SoftFrame,

    /// <summary>Loose battery or landing gear.</summary>
    LooseBattery,

    /// <summary>Cable in reach of a propeller.</summary>
    CableInDisc,

    /// <summary>Battery or payload off the middle.</summary>
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

    /// <summary>Motor and ESC lose step.</summary>
    LostStep,

    /// <summary>Range of the sensor too small.</summary>
    RangeTooSmall,

    /// <summary>Logging rate set too low.</summary>
    RateTooLow,

    /// <summary>Log written behind the controller's filters.</summary>
    LogBehindFilters,

    /// <summary>Telemetry lead or plug.</summary>
    TelemetryLead,

    /// <summary>Telemetry link too busy.</summary>
    BusyLink,
}

/// <summary>The cheapest check that parts the likely causes.</summary>
public enum CheapestCheck
{
    /// <summary>Swap propellers with calm motors, then run the motor without one.</summary>
    SwapPropellers,

    /// <summary>Look at the blades.</summary>
    LookAtBlades,

    /// <summary>Feel for play.</summary>
    FeelForPlay,

    /// <summary>Turn the bell by hand, then run without propeller.</summary>
    TurnBell,

    /// <summary>Log on the ground and switch parts off one by one.</summary>
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

    /// <summary>Look at cooling, joints and settings.</summary>
    LookAtEsc,

    /// <summary>Weigh the aircraft, read the battery.</summary>
    WeighAndCharge,

    /// <summary>Compare settings and joints of the ESC, swap it with another.</summary>
    SwapEsc,

    /// <summary>Measure the resistance of the battery.</summary>
    MeasureBattery,

    /// <summary>Change a setting of the recorder.</summary>
    SetRecorder,

    /// <summary>Look at telemetry lead, plug and joint.</summary>
    LookAtLead,
}

/// <summary>A quantity that a finding rests on, with the limit of each degree; the near end of its interval must pass.</summary>
/// <param name="Quantity">What is compared with the limits, in kebab case.</param>
/// <param name="Unit">Unit of the limits; empty for a ratio or number.</param>
/// <param name="Note">Above it: good to know; null where that degree is not given.</param>
/// <param name="Look">Above it: worth a look; null where that degree is not given.</param>
/// <param name="Act">Above it: before the next flight; null where that degree is not given.</param>
/// <param name="Source">Where the limits come from.</param>
public sealed record RuleLimit(string Quantity, string Unit, double? Note, double? Look, double? Act, LimitSource Source)
{
    /// <summary>A limit that must be passed for any degree.</summary>
    internal static RuleLimit Gate(string quantity, string unit, double value, LimitSource source = LimitSource.CommonPractice) =>
        new(quantity, unit, value, value, value, source);

    /// <summary>Whether it is one limit for any degree.</summary>
    public bool IsGate => Note is not null && Note == Act;

    /// <summary>The highest degree whose limit a value passes; null where it passes none.</summary>
    internal Severity? Reached(double value) =>
        value > Act ? Severity.Act
        : value > Look ? Severity.Look
        : value > Note ? Severity.Note
        : null;

    internal double Least => Note ?? Look ?? Act ?? double.PositiveInfinity;
}

/// <summary>One kind of finding: when it is made, what may lie behind it, and what to do first.</summary>
/// <param name="Code">Its code.</param>
/// <param name="Limits">All must be passed; the lowest degree among them is the finding's.</param>
/// <param name="Causes">Likely causes, likeliest first.</param>
/// <param name="Check">The cheapest check that parts them.</param>
/// <param name="Explains">Findings that follow from it, at the same motor or where one of the two is of the whole aircraft.</param>
public sealed record FindingRule(
    string Code,
    IReadOnlyList<RuleLimit> Limits,
    IReadOnlyList<LikelyCause> Causes,
    CheapestCheck Check,
    IReadOnlyList<string> Explains
);
