namespace VibeCheck.Core.Tracks;

/// <summary>One flight on one clock: what the IMU felt and what the motors did.</summary>
public sealed record Flight
{
    /// <summary>Acceleration and rates.</summary>
    public required ImuTrack Imu { get; init; }

    /// <summary>Telemetry, one a motor of the airframe that the log knows, in the airframe's order; empty when there is none.</summary>
    public required IReadOnlyList<MotorTrack> Motors { get; init; }

    /// <summary>Battery voltage, V; null when not logged.</summary>
    public Series? BatteryV { get; init; }

    /// <summary>Height or position z, m, up positive; null when not logged.</summary>
    public Series? HeightM { get; init; }

    /// <summary>Ambient temperature that the user or the log gave, °C; null when unknown.</summary>
    public double? AmbientC { get; init; }

    /// <summary>The part of the flight that hover may be taken from, s on the IMU clock; null for all of it.</summary>
    public TimeInterval? HoverWithin { get; init; }

    /// <summary>Faults of the log that reading it showed; empty when there are none.</summary>
    public IReadOnlyList<QualityIssue> Quality { get; init; } = [];

    /// <summary>How the files were understood.</summary>
    public required FlightInput Input { get; init; }

    /// <summary>Whether telemetry was judged and repaired: once is enough.</summary>
    internal bool TelemetryIsChecked { get; init; }

    /// <summary>Telemetry of a motor, or null.</summary>
    public MotorTrack? Track(string motorId) => Motors.FirstOrDefault(m => m.MotorId == motorId);
}
