using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Tables;

/// <summary>How a log was read, as a table of plain aligned text for the console; a list where the console is too narrow for it.</summary>
public static class ReadingTable
{
    private const int UsualWidth = 80;
    private const int MostTextWidth = 110;
    private const int MostListed = 5;
    private const int RangeColumn = 4;
    private const int LeastHeaderWidth = 12;
    private const int Between = 2;

    /// <summary>Writes one file.</summary>
    /// <param name="file">How it was read.</param>
    /// <param name="output">Where to.</param>
    /// <param name="width">Columns to keep within, 45 or more.</param>
    public static void Write(FileRecord file, TextWriter output, int width = UsualWidth)
    {
        ArgumentNullException.ThrowIfNull(file);
        ArgumentNullException.ThrowIfNull(output);
        int text = Math.Min(width, MostTextWidth);
        output.WriteLine(ShowableText.OneLine(file.Path));
        Wrapped(output, text, "", Grammar.Capital(string.Join(", ", file.Form)) + ".");
        Wrapped(output, text, "", Rows(file));
        output.WriteLine();
        WriteColumns(file, output, width);
        WriteGaps(file, output, text);
        foreach (Warning warning in file.Warnings)
        {
            Wrapped(output, text, "! ", ShowableText.OneLine(warning.Text));
        }
    }

    private static string Rows(FileRecord file)
    {
        string rows = string.Create(CultureInfo.InvariantCulture, $"{Grammar.Count(file.Rows, "row")}, {file.RowsUnusable} unusable.");
        string rate = file.RateHz is double hz ? string.Create(CultureInfo.InvariantCulture, $" {hz:G6} Hz") : " Rate not known";
        string jitter = file.JitterS is double s
            ? s < 1e-6
                ? ", even time stamps"
                : string.Create(CultureInfo.InvariantCulture, $", time stamps jitter by {s * 1000:G3} ms")
            : "";
        string clipped = string.Create(
            CultureInfo.InvariantCulture,
            $", {Count(file.Gaps.Count, "gap")}, {Count(file.ClippedSamples, "clipped sample")}."
        );
        return rows + rate + jitter + clipped;
    }

    private static string Count(int count, string what) => count == 0 ? $"no {what}s" : Grammar.Count(count, what);

    private static void WriteColumns(FileRecord file, TextWriter output, int width)
    {
        string[][] rows =
        [
            ["column", "read as", "unit", "known by", "range", "used"],
            .. file.Columns.Where(c => c.Channel is not null).Select(Cells),
        ];
        int[] widths = [.. Enumerable.Range(0, rows[0].Length).Select(i => rows.Max(r => r[i].Length))];
        int others = widths.Skip(1).Sum() + Between * (widths.Length - 1),
            text = Math.Min(width, MostTextWidth);
        if (others + LeastHeaderWidth > width)
        {
            WriteList(rows, output, text);
        }
        else
        {
            WriteTable(rows, widths, width - others, output);
        }

        Wrapped(output, text, "", "Ranges in s, m/s², rad/s, rpm, A, V, °C, m; commands from 0 to 1.");
        ColumnRecord[] rest = [.. file.Columns.Where(c => c.Channel is null)];
        ColumnRecord[] known = [.. rest.Where(c => c.HowKnown is not null)];
        foreach (ColumnRecord column in known.Take(MostListed * 2))
        {
            Wrapped(output, text, "  ", $"{ShowableText.OneLine(column.Header)}: {ShowableText.OneLine(column.HowKnown!)}");
        }

        if (known.Length > MostListed * 2)
        {
            string[] unlisted = [.. known.Skip(MostListed * 2).Select(c => ShowableText.OneLine(c.Header).Trim())];
            Wrapped(output, text, "  ", $"Not used either: {Some(unlisted)}. The JSON gives the reason for each.");
        }

        string[] ignored =
        [
            .. rest.Where(c => c.HowKnown is null).Select(c => ShowableText.OneLine(c.Header).Trim()).Where(h => h.Length > 0),
        ];
        if (ignored.Length > 0)
        {
            Wrapped(output, text, "  ", $"Not used: {Some(ignored)}.");
        }

        if (file.Gaps.Count + file.Warnings.Count > 0)
        {
            output.WriteLine();
        }
    }

    private static string Some(string[] headers)
    {
        const int Most = 12;
        string more = headers.Length > Most ? string.Create(CultureInfo.InvariantCulture, $" and {headers.Length - Most} more") : "";
        return string.Join(", ", headers.Take(Most)) + more;
    }

    private static string[] Cells(ColumnRecord column)
    {
        string range = column is { Min: double min, Max: double max } ? $"{Short(min)} .. {Short(max)}" : "none";
        string share = string.Create(CultureInfo.InvariantCulture, $"{100 * column.UsableShare:0.#} %");
        return
        [
            ShowableText.OneLine(column.Header),
            ShowableText.OneLine(column.Channel!),
            column.Unit ?? "-",
            column.HowKnown ?? "-",
            range,
            share,
        ];
    }

    /// <summary>A header that is too long for its column is written in full on a line of its own.</summary>
    private static void WriteTable(string[][] rows, int[] widths, int forHeader, TextWriter output)
    {
        widths[0] = Math.Min(widths[0], forHeader);
        TextColumn[] columns = [.. widths.Select((w, i) => new TextColumn("", w, i == RangeColumn, i == 0 ? 0 : Between))];
        foreach (string[] row in rows)
        {
            bool fits = row[0].Length <= widths[0];
            if (!fits)
            {
                output.WriteLine(row[0]);
            }

            TextTable.OneRow(columns, [fits ? row[0] : "", .. row.Skip(1).Select(cell => (TextCell)cell)]).Write(output);
        }
    }

    private static void WriteList(string[][] rows, TextWriter output, int text)
    {
        foreach (string[] row in rows.Skip(1))
        {
            Wrapped(output, text, "", row[0]);
            Wrapped(output, text, "    ", $"{row[1]}, unit {row[2]} ({row[3]}), {row[4]}, {row[5]} used");
        }
    }

    private static void WriteGaps(FileRecord file, TextWriter output, int text)
    {
        if (file.Gaps.Count == 0)
        {
            return;
        }

        string listed = string.Join(
            ", ",
            file.Gaps.OrderByDescending(g => g.Seconds)
                .Take(MostListed)
                .OrderBy(g => g.FromS)
                .Select(g => string.Create(CultureInfo.InvariantCulture, $"{g.FromS:0.000} to {g.ToS:0.000} s"))
        );
        string more =
            file.Gaps.Count > MostListed
                ? string.Create(CultureInfo.InvariantCulture, $"; the longest {MostListed} of {file.Gaps.Count}")
                : "";
        Wrapped(output, text, "", $"Gaps: {listed}{more}.");
    }

    private static string Short(double value) =>
        Math.Abs(value) switch
        {
            0 => "0",
            >= 1e6 => value.ToString("0.###e0", CultureInfo.InvariantCulture),
            >= 100 => value.ToString("0", CultureInfo.InvariantCulture),
            >= 1 => value.ToString("0.##", CultureInfo.InvariantCulture),
            _ => value.ToString("0.###", CultureInfo.InvariantCulture),
        };

    private static void Wrapped(TextWriter output, int width, string mark, string text)
    {
        foreach (string line in WrappedLines.Of(text, width - 1, mark, new string(' ', mark.Length)))
        {
            output.WriteLine(line);
        }
    }
}
