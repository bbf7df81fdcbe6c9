using VibeCheck.Core.Flights;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Findings of one kind and urgency as one entry: what holds for all their motors is written once.</summary>
/// <param name="Severity">How urgent.</param>
/// <param name="Motors">Motors in the order of the findings; empty where the finding is about the whole aircraft.</param>
/// <param name="Common">Sentences that all of them share; empty where there are none or only one finding.</param>
/// <param name="Items">Text and evidence of each finding.</param>
/// <param name="NextChecks">What to do next, each check once.</param>
internal sealed record FindingGroup(
    Severity Severity,
    IReadOnlyList<string> Motors,
    string Common,
    IReadOnlyList<(string Text, string Evidence)> Items,
    IReadOnlyList<string> NextChecks
)
{
    /// <summary>Groups findings, most urgent first. A finding that follows from another is named with that one, and each next check
    /// is listed once.</summary>
    internal static IReadOnlyList<FindingGroup> Of(IEnumerable<Finding> findings)
    {
        List<FindingGroup> groups = [];
        foreach (
            IGrouping<(Severity, string, bool), Finding> group in findings
                .Where(f => f.Root is null)
                .OrderByDescending(f => f.Severity)
                .GroupBy(f => (f.Severity, f.Code, f.Motor is not null))
        )
        {
            FindingGroup one = One([.. group]);
            groups.Add(one with { NextChecks = [.. one.NextChecks.Where(n => !groups.Exists(g => g.NextChecks.Contains(n)))] });
        }

        return groups;
    }

    private static FindingGroup One(Finding[] all)
    {
        FindingText[] texts = [.. all.Select(WithConsequences)];
        string[][] sentences = [.. texts.Select(f => Sentences(Grammar.Sentence(f.Text)))];
        string[] common = all.Length == 1 ? [] : [.. sentences[0].Where(s => sentences.All(o => o.Contains(s)))];
        return new(
            all[0].Severity,
            [.. all.Select(f => f.Motor).OfType<string>().Distinct()],
            string.Join(' ', common),
            [.. texts.Select((f, i) => (string.Join(' ', sentences[i].Except(common)), Grammar.Sentence(f.Evidence)))],
            [.. texts.Select(f => Grammar.Sentence(f.NextCheck)).Distinct()]
        );
    }

    private static FindingText WithConsequences(Finding finding)
    {
        FindingText text = FindingText.Of(finding);
        string possible = finding.Confidence == Confidence.Possible ? " This is possible, not sure." : "",
            follows = finding.Follows.Count == 0 ? "" : $" It goes with: {Grammar.List([.. finding.Follows.Select(Named).Distinct()])}.";
        return text with { Text = Grammar.Sentence(text.Text) + possible + follows };
    }

    private static string Named(FindingName finding) =>
        FindingRuleText.Name(finding.Code) + (finding.Motor is null ? "" : " of " + finding.Motor);

    private static string[] Sentences(string text) => [.. text.Split(". ").Select(s => s.EndsWith('.') ? s : s + ".")];
}
