namespace VibeCheck.Core.Flights;

/// <summary>How much a finding matters.</summary>
public enum Severity
{
    /// <summary>Good to know.</summary>
    Note,

    /// <summary>Worth a look before the next job.</summary>
    Look,

    /// <summary>To be dealt with before the next flight.</summary>
    Act,
}

/// <summary>What the numbers point to, with the evidence and the next check a person would do.</summary>
/// <param name="Code">Short, fixed, in kebab case.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Motor">Id of the motor, or null for the aircraft as a whole.</param>
/// <param name="Text">One plain sentence, no more certain than the evidence.</param>
/// <param name="Evidence">The numbers with units and intervals.</param>
/// <param name="NextCheck">What to do next; on the bench: propellers off, battery out.</param>
public sealed record Finding(string Code, Severity Severity, string? Motor, string Text, string Evidence, string NextCheck);
