using System.Diagnostics.CodeAnalysis;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Turns causes into text: the only place where a <see cref="Reason"/> becomes a sentence.</summary>
public static class ReasonText
{
    /// <summary>The cause as text for a reader; null for null.</summary>
    /// <exception cref="InvalidOperationException">No text is written for this kind of cause: a bug of the tool.</exception>
    [return: NotNullIfNotNull(nameof(reason))]
    public static string? Of(Reason? reason) =>
        reason switch
        {
            null => null,
            _ => QualityText.Of(reason)
                ?? GroupText.Of(reason)
                ?? OrderText.Of(reason)
                ?? FlightReasonText.Of(reason)
                ?? HoverText.Of(reason)
                ?? WarningText.Of(reason)
                ?? ClockText.Of(reason)
                ?? BalanceText.Of(reason)
                ?? KnowledgeText.Of(reason)
                ?? VerdictReasonText.Of(reason)
                ?? ConditionText.Of(reason)
                ?? NextStepText.Of(reason)
                ?? SurveyText.Of(reason)
                ?? ShimReasonText.Of(reason, inner => Of(inner))
                ?? FindingText.Of(reason)?.Text
                ?? throw new InvalidOperationException($"no words for {reason.GetType().Name}"),
        };

    /// <summary>The cause as a sentence: capital first, full stop last; null for null.</summary>
    [return: NotNullIfNotNull(nameof(reason))]
    public static string? Full(Reason? reason) => Of(reason) is string text ? Grammar.Sentence(text) : null;

    /// <summary>The cause as a clause to follow "because" or a colon, without a full stop; empty for null.</summary>
    public static string Clause(Reason? reason) => Grammar.Because(Of(reason));

    /// <summary>The fault of a log at the root of a cause, in words; null where it is not a fault of a log.</summary>
    internal static string? FaultOf(Reason reason) =>
        reason switch
        {
            KnownOnOneSide one => FaultOf(one.Cause),
            FlightsNotComparable not => FaultOf(not.Cause),
            ChangeUnknown unknown => FaultOf(unknown.Cause),
            _ => QualityText.Of(reason),
        };
}
