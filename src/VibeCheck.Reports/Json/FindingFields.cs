using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>A finding.</summary>
/// <param name="finding">What was found.</param>
/// <param name="onsets">When findings of the flight began; null for a finding of a comparison, which has no start.</param>
internal sealed class FindingFields(Finding finding, IReadOnlyList<FindingOnset>? onsets)
{
    private readonly FindingText _words = FindingText.Of(finding);

    public string Code => finding.Code;
    public double? FromS => onsets?.FirstOrDefault(o => o.Code == finding.Code && o.Motor == finding.Motor)?.FromS;

    public string? Why =>
        WhyText.Of(
            ("from_s", FromS is null ? NoStart : null),
            ("motor", finding.Motor is null ? "it is not about one motor" : null),
            ("root", finding.Root is null ? "it follows from no other finding" : null)
        );
    public Severity Severity => finding.Severity;
    public string? Motor => finding.Motor;
    public string Text => _words.Text;
    public string Evidence => _words.Evidence;
    public string NextCheck => _words.NextCheck;
    public Confidence Confidence => finding.Confidence;
    public IEnumerable<string> LikelyCauses => FindingRuleText.CausesOf(finding.Code);
    public IEnumerable<FindingNameFields> Follows => finding.Follows.Select(name => new FindingNameFields(name.Code, name.Motor));
    public FindingNameFields? Root => finding.Root is { } root ? new(root.Code, root.Motor) : null;
    public Reason Reason => finding.Cause;

    private string NoStart =>
        onsets is null ? "a finding of a comparison has no start" : "it was there from the start of the hover, or its start is not known";
}

/// <summary>Another finding.</summary>
internal sealed record FindingNameFields(string Code, string? Motor);
