using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>What is looked at before flights are compared.</summary>
public enum ConditionKind
{
    /// <summary>When they were flown.</summary>
    Dates,

    /// <summary>Length of the hover.</summary>
    HoverTime,

    /// <summary>Rotor speed as the vibration shows it.</summary>
    GroupSpeed,

    /// <summary>Rotor speed in hover.</summary>
    HoverSpeed,

    /// <summary>Motor command in hover.</summary>
    HoverCommand,

    /// <summary>Which telemetry there is.</summary>
    EscTelemetry,

    /// <summary>Where rotor speeds come from; stands where they were not logged but found in the vibration.</summary>
    RotorSpeeds,

    /// <summary>Which motors the logs know.</summary>
    MotorsInLog,

    /// <summary>Ambient temperature.</summary>
    AmbientTemperature,

    /// <summary>Sample rate of the IMU.</summary>
    ImuRate,

    /// <summary>How the IMU sat.</summary>
    ImuAxes,

    /// <summary>Battery voltage.</summary>
    Battery,

    /// <summary>Survey of the tilts.</summary>
    Survey,
}

/// <summary>A condition of the flights and whether it matched.</summary>
/// <param name="Kind">Which.</param>
/// <param name="Before">Before; null when unknown.</param>
/// <param name="After">After; null when unknown.</param>
/// <param name="Matched">True matched or corrected for; false not; null not known.</param>
/// <param name="Why">What was done about it.</param>
public sealed record Condition(ConditionKind Kind, ConditionValue? Before, ConditionValue? After, bool? Matched, Reason Why);
