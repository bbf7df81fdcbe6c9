using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Conditions that are checked before flights are compared.</summary>
public enum ConditionKind
{
    /// <summary>Time of the flights.</summary>
    Dates,

    /// <summary>Length of the hover.</summary>
    HoverTime,

    /// <summary>Rotor speed found from the vibration.</summary>
    GroupSpeed,

    /// <summary>Rotor speed in hover.</summary>
    HoverSpeed,

    /// <summary>Motor command in hover.</summary>
    HoverCommand,

    /// <summary>The telemetry that is available.</summary>
    EscTelemetry,

    /// <summary>Source of the rotor speeds; present where they were not logged but found in the vibration.</summary>
    RotorSpeeds,

    /// <summary>The motors that are in the logs.</summary>
    MotorsInLog,

    /// <summary>Ambient temperature.</summary>
    AmbientTemperature,

    /// <summary>Sample rate of the IMU.</summary>
    ImuRate,

    /// <summary>Orientation of the IMU.</summary>
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
/// <param name="Matched">True if matched or corrected for; false if not; null if not known.</param>
/// <param name="Why">How it was handled.</param>
public sealed record Condition(ConditionKind Kind, ConditionValue? Before, ConditionValue? After, bool? Matched, Reason Why);
