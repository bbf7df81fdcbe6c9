using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Hovers;

/// <summary>The quantity from which the load of the rotors is judged.</summary>
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

/// <summary>The log has no motor telemetry, and its vibration never exceeds that at rest.</summary>
public sealed record NoFlightInVibration : Reason;

/// <summary>The motors never run.</summary>
/// <param name="By">The quantity that shows it.</param>
public sealed record MotorsNeverRun(HoverSource By) : Reason;

/// <summary>What a hover is told by.</summary>
public enum HoverCriterion
{
    /// <summary>The load of the rotors is close to its usual level.</summary>
    Load,

    /// <summary>The aircraft does not turn.</summary>
    NoTurn,

    /// <summary>The aircraft does not accelerate.</summary>
    NoAcceleration,

    /// <summary>The aircraft keeps its height.</summary>
    SteadyHeight,
}

/// <summary>No part of the flight is steady for long enough.</summary>
/// <param name="LeastS">The time needed, s.</param>
/// <param name="By">The quantity from which the load was judged.</param>
/// <param name="Tolerance">Largest departure from its usual level, as a share of it.</param>
/// <param name="Unmet">The criterion without which there would be a hover; the load where none alone is the cause.</param>
/// <param name="UnmetShare">Share of the time in the air in which it is not met, 0 to 1.</param>
public sealed record NoSteadyHover(double LeastS, HoverSource By, double Tolerance, HoverCriterion Unmet, double UnmetShare) : Reason;

/// <summary>The hover was found, and narrowed to a part of the flight that the user gave.</summary>
/// <param name="FromS">Start of that part, s on the IMU clock.</param>
/// <param name="ToS">End of that part, s on the IMU clock.</param>
/// <param name="Found">How the hover was found.</param>
public sealed record HoverNarrowed(double FromS, double ToS, Reason Found) : Reason;

/// <summary>There is no hover in the part of the flight that the user gave.</summary>
/// <param name="FromS">Start of that part, s on the IMU clock.</param>
/// <param name="ToS">End of that part, s on the IMU clock.</param>
/// <param name="LeastS">The time needed, s.</param>
public sealed record NoHoverWithin(double FromS, double ToS, double LeastS) : Reason;

/// <summary>How the hover was found.</summary>
/// <param name="By">The quantity from which the load was judged.</param>
/// <param name="Tolerance">Largest departure from its usual level, as a share of it.</param>
/// <param name="WithoutTurning">Whether turning was checked and left out.</param>
/// <param name="AtSteadyHeight">Whether climbing was checked and left out.</param>
/// <param name="IsShort">Whether it is so short that intervals are wide.</param>
public sealed record HoverFound(HoverSource By, double Tolerance, bool WithoutTurning, bool AtSteadyHeight, bool IsShort) : Reason;
