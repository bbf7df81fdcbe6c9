namespace VibeCheck.Core.Comparisons;

/// <summary>The value of a condition on one side; Reports turns it into text.</summary>
public abstract record ConditionValue;

/// <summary>Times at which the flights started.</summary>
/// <param name="StartsUtc">Known starts in order, UTC.</param>
public sealed record FlownAt(IReadOnlyList<DateTime> StartsUtc) : ConditionValue;

/// <summary>Hover of each flight.</summary>
/// <param name="Flights">One entry for each flight.</param>
public sealed record HoverTimes(IReadOnlyList<UsedHover> Flights) : ConditionValue;

/// <summary>Hover of one flight.</summary>
/// <param name="SecondsUsed">Seconds that are compared.</param>
/// <param name="ShareOfFound">Their share of the hover found.</param>
public sealed record UsedHover(double SecondsUsed, double ShareOfFound);

/// <summary>Rotor speed found from the vibration.</summary>
/// <param name="Rpm">Speed, rpm.</param>
public sealed record AboutRpm(double Rpm) : ConditionValue;

/// <summary>Rotor speed.</summary>
/// <param name="Rpm">Speed, rpm.</param>
public sealed record AtRpm(double Rpm) : ConditionValue;

/// <summary>Motor command.</summary>
/// <param name="Command">Command, 0 to 1.</param>
public sealed record AtCommand(double Command) : ConditionValue;

/// <summary>A channel of telemetry.</summary>
public enum TelemetryChannel
{
    /// <summary>Rotor speed.</summary>
    Speed,

    /// <summary>Motor command.</summary>
    Command,

    /// <summary>Current.</summary>
    Current,

    /// <summary>Motor temperature.</summary>
    MotorTemperature,

    /// <summary>ESC temperature.</summary>
    EscTemperature,
}

/// <summary>Channels of telemetry that all flights of a side have.</summary>
/// <param name="Channels">Which.</param>
public sealed record ReportedChannels(IReadOnlyList<TelemetryChannel> Channels) : ConditionValue;

/// <summary>Sources of the speeds of a side.</summary>
/// <param name="Found">Motors whose speeds were found, for each flight that differs; an empty list means speeds as logged.</param>
public sealed record SpeedOrigins(IReadOnlyList<IReadOnlyList<string>> Found) : ConditionValue;

/// <summary>Motors in the logs of a side.</summary>
/// <param name="Sets">Each set once.</param>
public sealed record MotorSets(IReadOnlyList<IReadOnlyList<string>> Sets) : ConditionValue;

/// <summary>Ambient temperature of each flight.</summary>
/// <param name="AmbientC">°C; null where not known.</param>
public sealed record AmbientTemperatures(IReadOnlyList<double?> AmbientC) : ConditionValue;

/// <summary>Sample rates of the IMU.</summary>
/// <param name="RatesHz">One per flight, Hz.</param>
public sealed record SampleRates(IReadOnlyList<double> RatesHz) : ConditionValue;

/// <summary>Angle between the directions of gravity.</summary>
/// <param name="Degrees">Degrees.</param>
public sealed record GravityWithin(double Degrees) : ConditionValue;

/// <summary>Battery voltage in hover.</summary>
/// <param name="Volts">Volts.</param>
public sealed record BatteryVoltage(double Volts) : ConditionValue;

/// <summary>Number of motors that were measured with the gauge.</summary>
/// <param name="Count">Number of motors.</param>
public sealed record MotorsRead(int Count) : ConditionValue;
