using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Something was not logged in a flight, which is not a fault of its log.</summary>
public abstract record NotLogged : Reason;

/// <summary>A flight has no ESC telemetry.</summary>
/// <param name="Flight">Which.</param>
public sealed record FlightWithoutTelemetry(string Flight) : NotLogged;

/// <summary>No flight has ESC telemetry.</summary>
public sealed record NoFlightWithTelemetry : NotLogged;

/// <summary>A flight has no temperatures of the motors or of the ESCs.</summary>
/// <param name="Flight">Which.</param>
/// <param name="Esc">Whether they are those of the ESCs.</param>
public sealed record FlightWithoutTemperatures(string Flight, bool Esc) : NotLogged;

/// <summary>No flight has temperatures of the motors or of the ESCs.</summary>
/// <param name="Esc">Whether they are those of the ESCs.</param>
public sealed record NoFlightWithTemperatures(bool Esc) : NotLogged;

/// <summary>A motor is not in a flight.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Flight">The flight.</param>
public sealed record MotorNotInFlight(string Motor, string Flight) : NotLogged;

/// <summary>A channel is not in a flight.</summary>
/// <param name="Channel">The channel.</param>
/// <param name="Flight">The flight.</param>
public sealed record ChannelNotInFlight(string Channel, string Flight) : NotLogged;

/// <summary>Fewer than two units are known in all flights.</summary>
public sealed record FewerThanTwoUnitsKnown : Reason;

/// <summary>No unit's temperature is known in all flights.</summary>
public sealed record NoUnitKnownInAllFlights : Reason;

/// <summary>The load of a motor is not known on both sides.</summary>
public sealed record LoadNotKnownOnBothSides : Reason;

/// <summary>An order of a motor was not measured in a flight.</summary>
/// <param name="Order">The order.</param>
/// <param name="Motor">The motor.</param>
/// <param name="Flight">The flight.</param>
public sealed record OrderNotInFlight(int Order, string Motor, string Flight) : Reason;

/// <summary>A motor turns at nearly the same speed as others in a flight and cannot be separated from them.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Others">The others.</param>
/// <param name="Flight">The flight.</param>
public sealed record MotorMergedInFlight(string Motor, IReadOnlyList<string> Others, string Flight) : Reason;

/// <summary>Rotor orders are not known in flights without rotor speeds.</summary>
/// <param name="Flights">Which.</param>
public sealed record OrdersUnknownWithoutSpeeds(IReadOnlyList<string> Flights) : Reason;

/// <summary>No rotor order is known in all flights.</summary>
public sealed record NoOrderKnownInAllFlights : Reason;

/// <summary>The rotors were not measured as a group.</summary>
public sealed record GroupNotMeasured : Reason;

/// <summary>No window of the hover could be used.</summary>
public sealed record NoWindowUsable : Reason;

/// <summary>The amount is not known on the other side of the step.</summary>
public sealed record OtherSideUnknown : Reason;

/// <summary>The hover was matched with that of the other flights.</summary>
/// <param name="Found">How it was found in this flight alone.</param>
/// <param name="KeptShare">Share of it that is used.</param>
/// <param name="Window">Half width of the window around the shared operating point, as a share of it.</param>
/// <param name="Level">The shared operating point: rpm, or command from 0 to 1.</param>
/// <param name="By">The quantity by which it was matched.</param>
public sealed record HoverMatched(Reason Found, double KeptShare, double Window, double Level, HoverBasis By) : Reason;
