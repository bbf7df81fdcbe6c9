using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>A warning that a careful reader of an analysis should know.</summary>
/// <param name="Code">Short, fixed, in kebab case.</param>
/// <param name="Cause">The cause with its numbers.</param>
public sealed record FlightWarning(string Code, Reason Cause);
