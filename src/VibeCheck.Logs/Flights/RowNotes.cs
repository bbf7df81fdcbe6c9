using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Flights;

/// <summary>What is said of rows that could not be used.</summary>
/// <param name="Phrases">How the file was read, for people.</param>
/// <param name="Warnings">What looked odd.</param>
internal sealed record RowNotes(IReadOnlyList<string> Phrases, IReadOnlyList<Warning> Warnings)
{
    /// <exception cref="InputFaultException">There are no rows, or more that cannot be used than the user allows.</exception>
    internal static RowNotes Of(LogRows rows, double mostUnusableShare)
    {
        BadCell? first = rows.Examples.Count > 0 ? rows.Examples[0] : null;
        RequireRows(rows, first);
        RequireUsable(rows, first, mostUnusableShare);
        return new([.. PhrasesOf(rows)], [.. WarningsOf(rows, first)]);
    }

    private static void RequireRows(LogRows rows, BadCell? first)
    {
        if (rows.Seen == 0 || rows.Kept == 0)
        {
            throw rows.Fault(
                first?.Line ?? rows.Form.DataLine,
                first?.Column,
                first is null ? "there are no data rows" : $"'{first.Text}' {first.Problem}, and no row is better",
                "Export the log again, or name its columns in a columns file (vibecheck read --write-columns)."
            );
        }
    }

    private static void RequireUsable(LogRows rows, BadCell? first, double mostShare)
    {
        double share = (double)rows.Unusable / rows.Seen;
        if (share > mostShare)
        {
            throw rows.Fault(
                first?.Line,
                first?.Column,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{rows.Unusable} of {rows.Seen} rows can't be used ({share:P0}); the first: '{first?.Text}' {first?.Problem}"
                ),
                string.Create(CultureInfo.InvariantCulture, $"Correct the export, or allow more with --max-unusable (now {mostShare}).")
            );
        }
    }

    private static IEnumerable<string> PhrasesOf(LogRows rows)
    {
        if (rows.RepeatedHeaders > 0)
        {
            yield return rows.RepeatedHeaders == 1
                ? "header repeated once"
                : string.Create(CultureInfo.InvariantCulture, $"header repeated {rows.RepeatedHeaders} times");
        }
    }

    private static IEnumerable<Warning> WarningsOf(LogRows rows, BadCell? first)
    {
        if (rows.Unusable > 0)
        {
            yield return new(
                "rows-unusable",
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{rows.Unusable} of {rows.Seen} rows could not be used; the first is line {first?.Line}: '{first?.Text}' "
                        + $"{first?.Problem}."
                )
            );
        }

        if (rows.CutLastLine)
        {
            yield return new("last-line-cut", "The last line is cut off and was left out.");
        }
    }
}
