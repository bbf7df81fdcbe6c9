using System.Globalization;
using System.Text;

namespace VibeCheck.Campaigns.Damage;

/// <summary>The campaign's results as a table.</summary>
internal static class DamageTable
{
    private const string Head = "| kind | severity | shown | cases | wrong, % | reversed, % | motors wrong, % | refused, % | not comparable, % | withheld, % | widened, % | warned, % | harmless, % | crashed, % | s |\n"
        + "|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|";

    internal static string Of(IReadOnlyList<CaseResult> all)
    {
        var text = new StringBuilder();
        Summary(text, all);
        foreach (IGrouping<string, CaseResult> subject in all.GroupBy(c => c.Kind.Subject))
        {
            text.Append(CultureInfo.InvariantCulture, $"\n## {subject.Key}\n\n{Head}\n");
            foreach (var row in subject.GroupBy(c => (c.Kind.Name, c.Severity.Label)))
            {
                text.Append(Row(row.Key.Name, row.Key.Label, row.First().Severity.Hidden is null ? "yes" : "no", [.. row]));
            }
        }

        return text.ToString();
    }

    private static void Summary(StringBuilder text, IReadOnlyList<CaseResult> all)
    {
        CaseResult[] shown = [.. all.Where(c => c.Severity.Hidden is null)], hidden = [.. all.Where(c => c.Severity.Hidden is not null)];
        int kinds = all.Select(c => c.Kind.Name).Distinct().Count();
        text.Append(CultureInfo.InvariantCulture, $"{all.Count} damaged jobs of {kinds} kinds\n\n{Head}\n");
        text.Append(Row("all that the data shows", "", "yes", shown)).Append(Row("all that they cannot show", "", "no", hidden));
        foreach (IGrouping<string, CaseResult> subject in shown.GroupBy(c => c.Kind.Subject))
        {
            text.Append(Row(subject.Key, "", "yes", [.. subject]));
        }

        text.Append(CultureInfo.InvariantCulture, $"\nAn answer that the damage does not touch was withheld in {Share([.. all], c => c.Needless)} % of all cases.\n");
    }

    private static string Row(string name, string severity, string shown, CaseResult[] cases) => cases.Length == 0 ? "" : string.Create(CultureInfo.InvariantCulture,
        $"| {name} | {severity} | {shown} | {cases.Length} | {Share(cases, c => c.Outcome == Outcome.Wrong)} | {Share(cases, c => c.Reversed)} | {Share(cases, c => c.MotorsWrong)} | {Share(cases, c => c.Outcome == Outcome.Refused)} | {Share(cases, c => c.Outcome == Outcome.NotComparable)} | {Share(cases, c => c.Outcome == Outcome.Withheld)} | {Share(cases, c => c.Outcome == Outcome.Widened)} | {Share(cases, c => c.Outcome == Outcome.Warned)} | {Share(cases, c => c.Outcome == Outcome.Harmless)} | {Share(cases, c => c.Outcome == Outcome.Crashed)} | {cases.Average(c => c.Seconds):0.0} |\n");

    private static string Share(CaseResult[] cases, Func<CaseResult, bool> which)
    {
        double percent = 100.0 * cases.Count(which) / Math.Max(1, cases.Length);
        return percent.ToString(percent is > 0 and < 10 ? "0.0" : "0", CultureInfo.InvariantCulture);
    }
}
