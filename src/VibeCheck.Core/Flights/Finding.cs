using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>How much a finding matters.</summary>
public enum Severity
{
    /// <summary>Good to know.</summary>
    Note,

    /// <summary>Worth a look before the next job.</summary>
    Look,

    /// <summary>Must be dealt with before the next flight.</summary>
    Act,
}

/// <summary>Confidence of a finding.</summary>
public enum Confidence
{
    /// <summary>The data cannot distinguish it from something else.</summary>
    Possible,

    /// <summary>The end of the interval nearer to the limit is beyond it.</summary>
    Likely,

    /// <summary>The end of the interval nearer to the limit is at least 1.5 times the limit.</summary>
    Clear,
}

/// <summary>A finding named by its code and motor.</summary>
/// <param name="Code">Its code.</param>
/// <param name="Motor">Its motor; null for the aircraft as a whole.</param>
public sealed record FindingName(string Code, string? Motor);

/// <summary>A diagnosis from the measurements.</summary>
/// <param name="Code">Short, fixed, in kebab case.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Motor">Id of the motor, or null for the aircraft as a whole.</param>
/// <param name="Cause">The diagnosis with its numbers; Reports makes text, evidence and next check of it.</param>
public sealed record Finding(string Code, Severity Severity, string? Motor, Reason Cause)
{
    /// <summary>Confidence of the finding.</summary>
    public Confidence Confidence { get; init; } = Confidence.Likely;

    /// <summary>Ratio to the limit that it had to exceed; 1 is at the limit.</summary>
    public double Excess { get; init; } = 1;

    /// <summary>The order of the rotors that it concerns; null where it concerns none.</summary>
    public int? Order { get; init; }

    /// <summary>Findings that are consequences of this one.</summary>
    public IReadOnlyList<FindingName> Follows { get; init; } = [];

    /// <summary>The finding of which this one is a consequence; null when it is itself a root.</summary>
    public FindingName? Root { get; init; }

    /// <summary>Its name.</summary>
    public FindingName Name => new(Code, Motor);
}
