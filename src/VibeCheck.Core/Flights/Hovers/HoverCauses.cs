using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Hovers;

/// <summary>From what the load of the rotors is judged.</summary>
public enum HoverSource
{
    /// <summary>Rotor speed squared.</summary>
    Rpm,

    /// <summary>Motor command.</summary>
    Command,

    /// <summary>Motor current.</summary>
    Current,

    /// <summary>The vibration, where there is no motor telemetry.</summary>
    Vibration,
}

/// <summary>The hover was given by the caller.</summary>
public sealed record HoverGiven : Reason;

/// <summary>The log has no motor telemetry, and its vibration never rises above that of standing still.</summary>
public sealed record NoFlightInVibration : Reason;

/// <summary>The motors never run.</summary>
/// <param name="By">What shows it.</param>
public sealed record MotorsNeverRun(HoverSource By) : Reason;

/// <summary>No part of the flight is steady for long enough.</summary>
/// <param name="LeastS">The time needed, s.</param>
/// <param name="By">From what the load was judged.</param>
/// <param name="Tolerance">How far it may depart from its usual level, share of it.</param>
public sealed record NoSteadyHover(double LeastS, HoverSource By, double Tolerance) : Reason;

/// <summary>The hover was found, and narrowed to a part of the flight that the user gave.</summary>
/// <param name="FromS">Where that part begins, s on the IMU clock.</param>
/// <param name="ToS">Where it ends, s on the IMU clock.</param>
/// <param name="Found">How the hover was found.</param>
public sealed record HoverNarrowed(double FromS, double ToS, Reason Found) : Reason;

/// <summary>No hover lies in the part of the flight that the user gave.</summary>
/// <param name="FromS">Where that part begins, s on the IMU clock.</param>
/// <param name="ToS">Where it ends, s on the IMU clock.</param>
/// <param name="LeastS">The time needed, s.</param>
public sealed record NoHoverWithin(double FromS, double ToS, double LeastS) : Reason;

/// <summary>How the hover was found.</summary>
/// <param name="By">From what the load was judged.</param>
/// <param name="Tolerance">How far it departs from its usual level at most, share of it.</param>
/// <param name="WithoutTurning">Whether turning was looked at and left out.</param>
/// <param name="AtSteadyHeight">Whether climbing was looked at and left out.</param>
/// <param name="IsShort">Whether it is so short that intervals are wide.</param>
public sealed record HoverFound(HoverSource By, double Tolerance, bool WithoutTurning, bool AtSteadyHeight, bool IsShort) : Reason;
