namespace VibeCheck.Core.Tracks;

/// <summary>Telemetry of one motor and its ESC. A quantity that the log lacks is null.</summary>
public sealed record MotorTrack
{
    /// <summary>Id of the motor in the airframe.</summary>
    public required string MotorId { get; init; }

    /// <summary>Rotor speed (mechanical), rpm.</summary>
    public Series? Rpm { get; init; }

    /// <summary>Motor command, 0 to 1.</summary>
    public Series? Command { get; init; }

    /// <summary>Current of the ESC, A.</summary>
    public Series? CurrentA { get; init; }

    /// <summary>Voltage at the ESC, V.</summary>
    public Series? VoltageV { get; init; }

    /// <summary>Motor temperature, °C.</summary>
    public Series? MotorTempC { get; init; }

    /// <summary>ESC temperature, °C.</summary>
    public Series? EscTempC { get; init; }
}
