using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>The field <c>why</c> of an object with several amounts.</summary>
internal static class WhyText
{
    /// <summary>Each reason after the name of its field, such as "rpm_before: not measured"; null when all are known.</summary>
    internal static string? Of(params ReadOnlySpan<(string Field, Estimate Estimate)> amounts)
    {
        var reasons = new List<string>();
        foreach ((string field, Estimate estimate) in amounts)
        {
            if (ReasonText.Of(estimate.Why) is string why)
            {
                reasons.Add($"{field}: {why}");
            }
        }

        return reasons.Count == 0 ? null : string.Join("; ", reasons);
    }
}
