using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>The speed of a motor was found from the vibration, but not that of all others, whose lines may overlap its own.</summary>
public sealed record OtherSpeedsUnknown : Reason;

/// <summary>The log has no telemetry of motors.</summary>
public sealed record NoMotorTelemetry : Reason;

/// <summary>The speed of a motor is not in the log.</summary>
public sealed record SpeedNotLogged : Reason;

/// <summary>The speed of a motor is not in the log and could not be found from the vibration.</summary>
/// <param name="Cause">Why it could not be found.</param>
public sealed record SpeedNotFound(Reason Cause) : Reason;

/// <summary>The log has no rotor speeds.</summary>
public sealed record RotorSpeedsNotLogged : Reason;

/// <summary>The log has no rotor speeds, and they could not be found from the vibration.</summary>
/// <param name="Cause">Why they could not be found.</param>
public sealed record RotorSpeedsNotFound(Reason Cause) : Reason;

/// <summary>The log has no rotor speeds; lines of rotors are detected, but the motor of each line is not known.</summary>
/// <param name="LeastRpm">Slowest line, rpm.</param>
/// <param name="MostRpm">Fastest line, rpm.</param>
public sealed record RotorLinesNotNamed(double LeastRpm, double MostRpm) : Reason;

/// <summary>The log has no rotor speeds, and its rate is too low to show rotors.</summary>
/// <param name="RateHz">Sample rate, Hz.</param>
public sealed record RateTooLowForRotors(double RateHz) : Reason;

/// <summary>A channel does not vary within the band.</summary>
public sealed record ChannelStill : Reason;

/// <summary>There is no speed of a motor in the hover.</summary>
public sealed record SpeedMissingInHover : Reason;

/// <summary>There is no current of a motor in the hover.</summary>
public sealed record CurrentMissingInHover : Reason;

/// <summary>There is no speed or command of a motor in the hover.</summary>
public sealed record SpeedAndCommandMissingInHover : Reason;

/// <summary>There are no speeds or commands of any motor in the hover.</summary>
public sealed record AllSpeedsAndCommandsMissingInHover : Reason;

/// <summary>There are no speeds of any motor in the hover.</summary>
public sealed record AllSpeedsMissingInHover : Reason;

/// <summary>The speeds of some motors are not known.</summary>
public sealed record SomeSpeedsUnknown : Reason;

/// <summary>The motors do not turn in the time used.</summary>
public sealed record MotorsStandStill : Reason;

/// <summary>Which motors turn clockwise is not known without an airframe file.</summary>
public sealed record SpinsUnknown : Reason;

/// <summary>The places of the motors are not known without an airframe file.</summary>
public sealed record LayoutUnknown : Reason;

/// <summary>All motors that report turn the same way.</summary>
public sealed record AllTurnTheSameWay : Reason;

/// <summary>Order 1 was not measured.</summary>
public sealed record OrderOneNotMeasured : Reason;

/// <summary>Order 1 has no interval.</summary>
public sealed record OrderOneWithoutInterval : Reason;

/// <summary>The speed of the motor is not known.</summary>
public sealed record MotorSpeedUnknown : Reason;

/// <summary>The log has no temperature of the motor or of its ESC.</summary>
/// <param name="Esc">Whether it is that of the ESC.</param>
public sealed record TemperatureNotLogged(bool Esc) : Reason;

/// <summary>The log has neither current, speed nor command of a motor in the hover, so its load is not known.</summary>
public sealed record LoadNotLogged : Reason;
