using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>The comparison of flights before and after the work, with the survey between them.</summary>
public sealed record Comparison
{
    /// <summary>Title of the job.</summary>
    public required string Title { get; init; }

    /// <summary>The airframe.</summary>
    public required Airframe Airframe { get; init; }

    /// <summary>The survey between the flights; null when there is none.</summary>
    public Survey? Survey { get; init; }

    /// <summary>The verdict.</summary>
    public required Verdict Verdict { get; init; }

    /// <summary>Reasons of the verdict, strongest first.</summary>
    public required IReadOnlyList<Reason> Reasons { get; init; }

    /// <summary>What to do next, most useful first.</summary>
    public required IReadOnlyList<Reason> NextSteps { get; init; }

    /// <summary>Vibration: rms of all rotor orders of all motors.</summary>
    public required Call Vibration { get; init; }

    /// <summary>Whether <see cref="Vibration"/> is that of the rotors as a group, because a flight lacks rotor speeds.</summary>
    public bool VibrationIsOfGroup { get; init; }

    /// <summary>Total vibration, m/s², from all sources.</summary>
    public Call AllVibration { get; init; } =
        new()
        {
            Kind = CallKind.Unknown,
            Change = Estimate.Unknown(new NotMeasured()),
            Unit = "m/s²",
            ChangeUnit = "dB",
            Why = new NotMeasured(),
        };

    /// <summary>Its parts; empty where they are not known.</summary>
    public IReadOnlyList<PartChange> Parts { get; init; } = [];

    /// <summary>Hottest motor's steady rise.</summary>
    public required Call MotorTemperature { get; init; }

    /// <summary>Hottest ESC's steady rise.</summary>
    public required Call EscTemperature { get; init; }

    /// <summary>One entry per motor, in the order of the airframe.</summary>
    public required IReadOnlyList<MotorComparison> Motors { get; init; }

    /// <summary>Broadband levels.</summary>
    public required IReadOnlyList<LevelChange> Levels { get; init; }

    /// <summary>Yaw trim.</summary>
    public required YawTrimChange YawTrim { get; init; }

    /// <summary>Effect of the tilts on order 1.</summary>
    public required TiltEffect TiltEffect { get; init; }

    /// <summary>Conditions that matched and conditions that did not.</summary>
    public required IReadOnlyList<Condition> Conditions { get; init; }

    /// <summary>Flights before, analysed over the matched hover.</summary>
    public required IReadOnlyList<FlightAnalysis> Before { get; init; }

    /// <summary>Flights after, analysed over the matched hover.</summary>
    public required IReadOnlyList<FlightAnalysis> After { get; init; }

    /// <summary>Faults that show only when the flights are compared; faults of a single flight are listed in that flight.</summary>
    public IReadOnlyList<QualityIssue> Quality { get; init; } = [];

    /// <summary>The part of each flight that was used, before first.</summary>
    public IReadOnlyList<FlightUse> Timeline { get; init; } = [];

    /// <summary>Spread of the motor temperatures: hottest minus coolest.</summary>
    public TemperatureSpread? MotorSpread { get; init; }

    /// <summary>Spread of the ESC temperatures: hottest minus coolest.</summary>
    public TemperatureSpread? EscSpread { get; init; }

    /// <summary>Findings of the comparison itself, such as a motor whose tilt improved but whose vibration did not.</summary>
    public IReadOnlyList<Finding> Findings { get; init; } = [];

    /// <summary>Thresholds of a change, and the assumed scatter from flight to flight.</summary>
    public ComparisonOptions Options { get; init; } = new();
}
