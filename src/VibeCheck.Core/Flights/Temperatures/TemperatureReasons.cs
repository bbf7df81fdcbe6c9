using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>Ambient was not given, and the log starts with motors already turning.</summary>
public sealed record AmbientMotorsTurning : Reason;

/// <summary>Ambient was not given, and too few temperatures are logged to find it from a cold start.</summary>
public sealed record AmbientTooFewTemperatures : Reason;

/// <summary>Ambient was not given, and the units did not start cold.</summary>
/// <param name="SpreadC">Difference between them at the start, °C.</param>
public sealed record AmbientUnitsNotCold(double SpreadC) : Reason;

/// <summary>There are too few temperature readings for a fit.</summary>
public sealed record TooFewTemperatureReadings : Reason;

/// <summary>There are no temperature readings.</summary>
public sealed record NoTemperatureReadings : Reason;

/// <summary>Ambient temperature was neither given nor found from a cold start.</summary>
public sealed record AmbientNotFound : Reason;

/// <summary>Ambient temperature is not known.</summary>
public sealed record AmbientUnknown : Reason;

/// <summary>No hover was found.</summary>
public sealed record NoHoverFound : Reason;

/// <summary>The load of the motor is not known.</summary>
public sealed record LoadUnknown : Reason;

/// <summary>The temperature readings span too short a time.</summary>
/// <param name="SpanS">Time between the first and the last reading, s.</param>
/// <param name="LeastS">The time needed, s.</param>
public sealed record TemperatureRecordTooShort(double SpanS, double LeastS) : Reason;

/// <summary>The temperature reading never changed.</summary>
/// <param name="TempC">The constant reading, °C.</param>
public sealed record TemperatureFrozen(double TempC) : Reason;

/// <summary>The record does not determine the time constant.</summary>
public sealed record TimeConstantNotFixed : Reason;
