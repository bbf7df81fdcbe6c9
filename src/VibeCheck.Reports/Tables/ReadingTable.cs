using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Text;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Tables;

/// <summary>How a log was read, as a table for the console: plain aligned text of at most 80 columns.</summary>
public static class ReadingTable
{
    private const int Width = 80;
    private const int MostListed = 5;
    private const int RangeColumn = 4;

    // Widest that each column gets; the header takes what the others leave.
    private const int ChannelWidth = 22;
    private const int UnitWidth = 12;
    private const int KnownWidth = 12;
    private const int RangeWidth = 19;
    private const int ShareWidth = 6;
    private const int LeastHeaderWidth = 12;
    private const string Between = "  ";

    /// <summary>Writes one file.</summary>
    public static void Write(FileRecord file, TextWriter output)
    {
        ArgumentNullException.ThrowIfNull(file);
        ArgumentNullException.ThrowIfNull(output);
        output.WriteLine(ShowableText.OneLine(file.Path));
        Wrapped(output, "", Say.Capital(string.Join(", ", file.Form)) + ".");
        Wrapped(output, "", Rows(file));
        output.WriteLine();
        WriteColumns(file, output);
        WriteGaps(file, output);
        foreach (Warning warning in file.Warnings)
        {
            Wrapped(output, "! ", ShowableText.OneLine(ReasonText.Of(warning)));
        }
    }

    private static string Rows(FileRecord file)
    {
        string rows = string.Create(CultureInfo.InvariantCulture, $"{file.Rows} rows, {file.RowsUnusable} unusable.");
        string rate = file.RateHz is double hz ? string.Create(CultureInfo.InvariantCulture, $" {hz:G6} Hz") : " Rate not known";
        string jitter = file.JitterS is double s ? s < 1e-6 ? ", stamps even" : string.Create(CultureInfo.InvariantCulture, $", stamps wobble by {s * 1000:G3} ms") : "";
        string clipped = string.Create(CultureInfo.InvariantCulture, $", {Count(file.Gaps.Count, "gap")}, {Count(file.ClippedSamples, "clipped sample")}.");
        return rows + rate + jitter + clipped;
    }

    private static string Count(int count, string what) => string.Create(CultureInfo.InvariantCulture, $"{(count == 0 ? "no" : Say.Whole(count))} {what}{(count == 1 ? "" : "s")}");

    private static void WriteColumns(FileRecord file, TextWriter output)
    {
        string[][] rows = [["column", "taken for", "unit", "known by", "range", "used"], .. file.Columns.Where(c => c.Channel is not null).Select(Cells)];
        int[] widths = Widths(rows);
        foreach (string[] row in rows)
        {
            output.WriteLine(string.Join(Between, row.Select((cell, i) => i == RangeColumn ? cell.PadLeft(widths[i]) : Fit(cell, widths[i]))).TrimEnd());
        }

        output.WriteLine("Ranges in s, m/s², rad/s, rpm, A, V, °C, m; commands from 0 to 1.");
        ColumnRecord[] others = [.. file.Columns.Where(c => c.Channel is null)];
        ColumnRecord[] known = [.. others.Where(c => c.HowKnown is not null)];
        foreach (ColumnRecord column in known.Take(MostListed * 2))
        {
            Wrapped(output, "  ", $"{ShowableText.OneLine(column.Header)}: {ShowableText.OneLine(column.HowKnown!)}");
        }

        string[] ignored = [.. others.Where(c => c.HowKnown is null).Select(c => ShowableText.OneLine(c.Header).Trim()).Where(h => h.Length > 0)];
        if (ignored.Length > 0)
        {
            string more = ignored.Length > 12 ? string.Create(CultureInfo.InvariantCulture, $" and {ignored.Length - 12} more") : "";
            Wrapped(output, "  ", $"Not used: {string.Join(", ", ignored.Take(12))}{more}.");
        }

        if (file.Gaps.Count + file.Warnings.Count > 0)
        {
            output.WriteLine();
        }
    }

    private static string[] Cells(ColumnRecord column)
    {
        string range = column is { Min: double min, Max: double max } ? $"{Short(min)} .. {Short(max)}" : "none";
        string share = string.Create(CultureInfo.InvariantCulture, $"{100 * column.UsableShare:0.#} %");
        return [ShowableText.OneLine(column.Header), ShowableText.OneLine(column.Channel!), column.Unit ?? "-", column.HowKnown ?? "-", range, share];
    }

    private static int[] Widths(string[][] rows)
    {
        int[] most = [Width, ChannelWidth, UnitWidth, KnownWidth, RangeWidth, ShareWidth];
        int[] widths = [.. most.Select((m, i) => Math.Min(m, rows.Max(r => r[i].Length)))];
        widths[0] = Math.Min(widths[0], Math.Max(LeastHeaderWidth, Width - widths.Skip(1).Sum() - Between.Length * (widths.Length - 1)));
        return widths;
    }

    private static void WriteGaps(FileRecord file, TextWriter output)
    {
        if (file.Gaps.Count == 0)
        {
            return;
        }

        string listed = string.Join(", ", file.Gaps.OrderByDescending(g => g.Seconds).Take(MostListed).OrderBy(g => g.FromS)
            .Select(g => string.Create(CultureInfo.InvariantCulture, $"{g.FromS:0.000} to {g.ToS:0.000} s")));
        string more = file.Gaps.Count > MostListed ? string.Create(CultureInfo.InvariantCulture, $"; the longest {MostListed} of {file.Gaps.Count}") : "";
        Wrapped(output, "", $"Gaps: {listed}{more}.");
    }

    private static string Fit(string text, int width) => (text.Length > width ? text[..(width - 1)] + "~" : text).PadRight(width);

    private static string Short(double value) => Math.Abs(value) switch
    {
        0 => "0",
        >= 1e6 => value.ToString("0.###e0", CultureInfo.InvariantCulture),
        >= 100 => value.ToString("0", CultureInfo.InvariantCulture),
        >= 1 => value.ToString("0.##", CultureInfo.InvariantCulture),
        _ => value.ToString("0.###", CultureInfo.InvariantCulture),
    };

    private static void Wrapped(TextWriter output, string mark, string text)
    {
        string line = mark;
        foreach (string word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (line.Length + word.Length + 1 > Width && line.Length > mark.Length)
            {
                output.WriteLine(line.TrimEnd());
                line = new string(' ', mark.Length);
            }

            line += word + " ";
        }

        output.WriteLine(line.TrimEnd());
    }
}
