using System.Globalization;
using System.Text;
using VibeCheck.FlightMaker.Damage;

namespace VibeCheck.Campaigns.Damage;

/// <summary>The campaign's results as a table.</summary>
internal static class DamageTable
{
    private static readonly (string Header, Func<CaseResult, bool> Counts)[] Columns =
    [
        ("wrong", c => c.Outcome == Outcome.Wrong),
        ("reversed", c => c.Reversed),
        ("motors wrong", c => c.MotorsWrong),
        ("further wrong", c => c.WrongFurther.Length > 0),
        ("refused", c => c.Outcome == Outcome.Refused),
        ("not comparable", c => c.Outcome == Outcome.NotComparable),
        ("withheld", c => c.Outcome == Outcome.Withheld),
        ("widened", c => c.Outcome == Outcome.Widened),
        ("warned", c => c.Outcome == Outcome.Warned),
        ("harmless", c => c.Outcome == Outcome.Harmless),
        ("crashed", c => c.Outcome == Outcome.Crashed),
    ];

    /// <summary>Rows of kinds and severities in the order of the kinds, with a summary before
    /// them. Shares are in percent of the cases.</summary>
    internal static string Of(IReadOnlyList<CaseResult> all)
    {
        var text = new StringBuilder();
        Summary(text, all);
        foreach (string subject in DamageKinds.All.Select(k => k.Subject).Distinct().Where(s => all.Any(c => c.Kind.Subject == s)))
        {
            text.Append(CultureInfo.InvariantCulture, $"\n## {subject}\n\n{Head}\n");
            foreach (DamageKind kind in DamageKinds.All.Where(k => k.Subject == subject))
            {
                foreach (Severity severity in kind.Severities)
                {
                    CaseResult[] row =
                    [
                        .. all.Where(c => c.Kind.Name == kind.Name && c.Kind.Subject == subject && c.Severity.Label == severity.Label),
                    ];
                    text.Append(Row(kind.Name, severity.Label, severity.Hidden is null ? "yes" : "no", row));
                }
            }
        }

        return text.ToString();
    }

    private static string Head =>
        $"| kind | severity | shown | cases | {string.Join(" | ", Columns.Select(c => c.Header))} | s |\n|"
        + string.Concat(Enumerable.Repeat("---|", Columns.Length + 5));

    private static void Summary(StringBuilder text, IReadOnlyList<CaseResult> all)
    {
        CaseResult[] shown = [.. all.Where(c => c.Severity.Hidden is null)],
            hidden = [.. all.Where(c => c.Severity.Hidden is not null)];
        int kinds = all.Select(c => c.Kind.Name).Distinct().Count();
        text.Append(CultureInfo.InvariantCulture, $"{all.Count} damaged jobs of {kinds} kinds; shares in percent\n\n{Head}\n");
        text.Append(Row("all that the data shows", "", "yes", shown)).Append(Row("all that they cannot show", "", "no", hidden));
        foreach (IGrouping<string, CaseResult> subject in shown.GroupBy(c => c.Kind.Subject))
        {
            text.Append(Row(subject.Key, "", "yes", [.. subject]));
        }

        string needless = Share([.. all], c => c.Needless);
        text.Append(
            CultureInfo.InvariantCulture,
            $"\nAn answer that the damage does not touch was withheld in {needless} % of all cases.\n"
        );
    }

    private static string Row(string name, string severity, string shown, CaseResult[] cases)
    {
        string shares = string.Join(" | ", Columns.Select(c => Share(cases, c.Counts)));
        return cases.Length == 0
            ? ""
            : FormattableString.Invariant(
                $"| {name} | {severity} | {shown} | {cases.Length} | {shares} | {cases.Average(c => c.Seconds):0.0} |\n"
            );
    }

    private static string Share(CaseResult[] cases, Func<CaseResult, bool> which)
    {
        double percent = 100.0 * cases.Count(which) / Math.Max(1, cases.Length);
        return percent.ToString(percent is > 0 and < 10 ? "0.0" : "0", CultureInfo.InvariantCulture);
    }
}
