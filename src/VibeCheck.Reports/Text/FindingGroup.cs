using VibeCheck.Core.Flights;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Text;

/// <summary>Findings of one kind and urgency, told as one entry: what holds for all of their motors is said once.</summary>
/// <param name="Severity">How urgent.</param>
/// <param name="Motors">Motors in the order of the findings; empty where the finding is about the whole aircraft.</param>
/// <param name="Common">Sentences that all of them share; empty where there are none, or one finding only.</param>
/// <param name="Items">A text with its evidence for each finding.</param>
/// <param name="NextChecks">What to do next, each once.</param>
internal sealed record FindingGroup(
    Severity Severity,
    IReadOnlyList<string> Motors,
    string Common,
    IReadOnlyList<(string Text, string Evidence)> Items,
    IReadOnlyList<string> NextChecks
)
{
    /// <summary>Groups findings; the most urgent first.</summary>
    internal static IReadOnlyList<FindingGroup> Of(IEnumerable<Finding> findings) =>
        [
            .. findings
                .OrderByDescending(f => f.Severity)
                .GroupBy(f => (f.Severity, f.Code, HasMotor: f.Motor is not null))
                .Select(g => One([.. g])),
        ];

    private static FindingGroup One(Finding[] all)
    {
        FindingText[] texts = [.. all.Select(f => FindingText.Of(f))];
        string[][] sentences = [.. texts.Select(f => Sentences(Say.Sentence(f.Text)))];
        string[] common = all.Length == 1 ? [] : [.. sentences[0].Where(s => sentences.All(o => o.Contains(s)))];
        return new(
            all[0].Severity,
            [.. all.Select(f => f.Motor).OfType<string>().Distinct()],
            string.Join(' ', common),
            [.. texts.Select((f, i) => (string.Join(' ', sentences[i].Except(common)), Say.Sentence(f.Evidence)))],
            [.. texts.Select(f => Say.Sentence(f.NextCheck)).Distinct()]
        );
    }

    private static string[] Sentences(string text) => [.. text.Split(". ").Select((s, i) => s.EndsWith('.') ? s : s + ".")];
}
