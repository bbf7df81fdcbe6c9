using System.Globalization;

namespace VibeCheck.Campaigns.Findings;

/// <summary>Tables of what came first for which fault.</summary>
internal static class FaultTable
{
    internal static void Write(IReadOnlyList<FaultOutcome> all, TextWriter output)
    {
        FaultOutcome[] faulty = [.. all.Where(o => o.Trial.Code != FaultTrial.Healthy)];
        output.WriteLine();
        output.WriteLine("| fault | barely visible: right first | middling | gross | what came first instead, middling and gross |");
        output.WriteLine("|---|---|---|---|---|");
        foreach (IGrouping<string, FaultOutcome> code in faulty.GroupBy(o => o.Trial.Code))
        {
            string instead = string.Join(
                ", ",
                code.Where(o => o.Trial.Size != FaultSize.Barely && !o.IsRight)
                    .GroupBy(o => o.First == o.Trial.Code ? "another motor" : o.First)
                    .OrderByDescending(g => g.Count())
                    .Select(g => Invariant($"{g.Key} {g.Count()}"))
            );
            output.WriteLine(
                $"| {code.Key} | {Right(code, FaultSize.Barely)} | {Right(code, FaultSize.Middling)} | {Right(code, FaultSize.Gross)} | "
                    + $"{instead} |"
            );
        }

        FaultOutcome[] seen = [.. faulty.Where(o => o.Trial.Size != FaultSize.Barely)];
        FaultOutcome[] healthy = [.. all.Where(o => o.Trial.Code == FaultTrial.Healthy)];
        output.WriteLine();
        if (seen.Length > 0)
        {
            int right = seen.Count(o => o.IsRight);
            output.WriteLine(
                Invariant($"Middling and gross: right fault first in {right} of {seen.Length} ({100.0 * right / seen.Length:0.0} %)")
            );
        }

        if (healthy.Length > 0)
        {
            int none = healthy.Count(o => !o.AboveNote);
            output.WriteLine(
                Invariant($"Healthy: no finding above a note in {none} of {healthy.Length} ({100.0 * none / healthy.Length:0.0} %)")
            );
            foreach (
                IGrouping<string, FaultOutcome> first in healthy
                    .Where(o => o.Findings.Count > 0)
                    .GroupBy(o => $"{o.First} {o.Findings[0].Severity}")
            )
            {
                output.WriteLine(Invariant($"  healthy, first {first.Key}: {first.Count()}"));
            }
        }
    }

    /// <summary>Simulated fault against the first finding, for middling and gross sizes: rows and columns of numbers.</summary>
    internal static void Matrix(IReadOnlyList<FaultOutcome> all, TextWriter output)
    {
        FaultOutcome[] counted = [.. all.Where(o => o.Trial.Code == FaultTrial.Healthy || o.Trial.Size != FaultSize.Barely)];
        string[] columns = [.. counted.Select(o => o.First).Distinct().Order(StringComparer.Ordinal)];
        output.WriteLine();
        output.WriteLine($"| made \\ first | {string.Join(" | ", columns)} |");
        output.WriteLine($"|---|{string.Concat(columns.Select(_ => "---|"))}");
        foreach (IGrouping<string, FaultOutcome> code in counted.GroupBy(o => o.Trial.Code))
        {
            IEnumerable<string> cells = columns.Select(c => code.Count(o => o.First == c) is > 0 and int n ? Invariant($"{n}") : "");
            output.WriteLine($"| {code.Key} | {string.Join(" | ", cells)} |");
        }
    }

    private static string Right(IEnumerable<FaultOutcome> all, FaultSize size)
    {
        FaultOutcome[] of = [.. all.Where(o => o.Trial.Size == size)];
        return of.Length == 0 ? "-" : Invariant($"{of.Count(o => o.IsRight)} of {of.Length}");
    }

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
