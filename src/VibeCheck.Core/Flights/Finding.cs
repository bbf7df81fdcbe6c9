using VibeCheck.Core.Statistics;

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

/// <summary>What the numbers point to.</summary>
/// <param name="Code">Short, fixed, in kebab case.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Motor">Id of the motor, or null for the aircraft as a whole.</param>
/// <param name="Cause">What the numbers point to, with the numbers; Reports makes text, evidence and next check of it.</param>
public sealed record Finding(string Code, Severity Severity, string? Motor, Reason Cause);
