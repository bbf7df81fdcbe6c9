namespace VibeCheck.Core.Flights.Structure;

/// <summary>Part of a flight.</summary>
public enum FlightPhase
{
    /// <summary>Before the first hover: spin-up, take-off, climb.</summary>
    TakeOff,

    /// <summary>In the hover that is used.</summary>
    Hover,

    /// <summary>Between intervals of hover.</summary>
    Manoeuvre,

    /// <summary>After the last hover: descent, landing, spin-down.</summary>
    Landing,
}
