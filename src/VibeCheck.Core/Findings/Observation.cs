using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Findings;

/// <summary>Numbers that are compared with a rule.</summary>
/// <param name="Code">Code of the rule.</param>
/// <param name="Motor">The motor; null for the aircraft as a whole.</param>
/// <param name="Cause">The numbers for the reader.</param>
/// <param name="Values">One value for each limit of the rule, in its order: the end of the interval that is nearer to the limit.</param>
internal sealed record Observation(string Code, string? Motor, Reason Cause, params IReadOnlyList<double> Values)
{
    // A value clearly exceeds a limit when it is half as much again.
    private const double ClearExcess = 1.5;

    /// <summary>Whether the data cannot distinguish it from something else.</summary>
    internal bool IsAmbiguous { get; init; }

    /// <summary>The order of the rotors that it concerns; null where it concerns none.</summary>
    internal int? Order { get; init; }

    /// <summary>Lowest degree of the finding, if there is one.</summary>
    internal Severity Least { get; init; } = Severity.Note;

    /// <summary>The finding; null where a limit is not exceeded.</summary>
    internal Finding? Judged()
    {
        FindingRule rule = FindingRules.Of(Code);
        Severity severity = Severity.Act;
        double excess = double.PositiveInfinity;
        for (int i = 0; i < rule.Limits.Count; i++)
        {
            if (rule.Limits[i].Reached(Values[i]) is not Severity reached)
            {
                return null;
            }

            severity = reached < severity ? reached : severity;
            excess = rule.Limits[i].IsGate && rule.Limits.Count > 1 ? excess : Math.Min(excess, Values[i] / rule.Limits[i].Least);
        }

        return new(Code, severity < Least ? Least : severity, Motor, Cause)
        {
            Excess = excess,
            Order = Order,
            Confidence =
                IsAmbiguous ? Confidence.Possible
                : excess >= ClearExcess ? Confidence.Clear
                : Confidence.Likely,
        };
    }
}
