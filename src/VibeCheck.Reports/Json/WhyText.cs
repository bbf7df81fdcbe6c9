using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>The field <c>why</c> of an object with several fields that may be null.</summary>
internal static class WhyText
{
    /// <summary>Each reason after the name of its field, such as "rpm_before: not measured"; null when all are known.</summary>
    internal static string? Of(params ReadOnlySpan<(string Field, Estimate Estimate)> amounts)
    {
        List<string> reasons = [];
        foreach ((string field, Estimate estimate) in amounts)
        {
            if (estimate.Why is Reason why)
            {
                reasons.Add($"{field}: {ReasonText.Clause(why)}");
            }
        }

        return Joined(reasons);
    }

    /// <summary>The same for fields that are not amounts; a null reason means that the field is known.</summary>
    internal static string? Of(params ReadOnlySpan<(string Field, string? Why)> fields)
    {
        List<string> reasons = [];
        foreach ((string field, string? why) in fields)
        {
            if (why is not null)
            {
                reasons.Add($"{field}: {why}");
            }
        }

        return Joined(reasons);
    }

    /// <summary>Several such texts as one; null when all are.</summary>
    internal static string? Together(params IEnumerable<string?> texts) => Joined([.. texts.OfType<string>()]);

    private static string? Joined(List<string> reasons) => reasons.Count == 0 ? null : string.Join("; ", reasons);
}
