using System.Globalization;

namespace VibeCheck.Campaigns.Damage;

/// <summary>The healthy jobs' results as a table and as a list to compare with later.</summary>
internal static class HealthyTable
{
    private const string Head =
        "| answer | known, % | holds the truth, % | known in the list | of these withheld now, % |\n|---|---|---|---|---|";

    private static readonly string[] Names = ["vibration", "hottest motor", "hottest ESC"];

    /// <summary>Answers known in a list written earlier: number of the job and of the answer.</summary>
    internal static HashSet<(int Job, int Answer)> Answered(string path)
    {
        HashSet<(int Job, int Answer)> known = [];
        foreach (string[] cells in File.ReadLines(path).Skip(1).Select(l => l.Split(';')))
        {
            int job = int.Parse(cells[0], CultureInfo.InvariantCulture);
            known.UnionWith(Enumerable.Range(0, Names.Length).Where(a => cells[a + 1] == "known").Select(a => (job, a)));
        }

        return known;
    }

    internal static IEnumerable<string> Lines(IEnumerable<HealthyResult> results) =>
        results
            .Select(r =>
                string.Join(
                    ';',
                    (string[])
                        [$"{r.Job.Number}", .. Names.Select((_, a) => r.Known(a) ? "known" : "unknown"), $"{r.Answers.End}", r.Job.Traits]
                )
            )
            .Prepend("job;vibration;hottest motor;hottest ESC;end;traits");

    internal static void Write(IReadOnlyList<HealthyResult> results, IReadOnlySet<(int Job, int Answer)> earlier, TextWriter output)
    {
        output.WriteLine(
            $"{results.Count} healthy jobs: {string.Join(", ", results.GroupBy(r => r.Answers.End).Select(g => $"{g.Count()} {g.Key}"))}\n"
        );
        output.WriteLine(Head);
        int allBefore = 0,
            allLost = 0;
        for (int a = 0; a < Names.Length; a++)
        {
            int answer = a;
            HealthyResult[] known = [.. results.Where(r => r.Known(answer))],
                before = [.. results.Where(r => earlier.Contains((r.Job.Number, answer)))];
            int lost = before.Count(r => !r.Known(answer));
            allBefore += before.Length;
            allLost += lost;
            output.WriteLine(
                $"| {Names[a]} | {Percent(known.Length, results.Count)} | {Percent(known.Count(r => r.Holds(answer)), known.Length)} "
                    + $"| {before.Length} | {Percent(lost, before.Length)} |"
            );
        }

        output.WriteLine($"| all | | | {allBefore} | {Percent(allLost, allBefore)} |\n");
        List(results, "withheld now", (r, a) => earlier.Contains((r.Job.Number, a)) && !r.Known(a), output);
        List(results, "interval without the truth", (r, a) => r.Known(a) && !r.Holds(a), output);
    }

    private static void List(IEnumerable<HealthyResult> results, string what, Func<HealthyResult, int, bool> which, TextWriter output)
    {
        foreach (HealthyResult r in results.Where(r => Enumerable.Range(0, Names.Length).Any(a => which(r, a))))
        {
            output.WriteLine($"{what}: {r}; {string.Join(", ", r.Answers.Warnings.Order(StringComparer.Ordinal))}");
        }
    }

    private static string Percent(int part, int whole) => (100.0 * part / Math.Max(1, whole)).ToString("0.0", CultureInfo.InvariantCulture);
}
