using System.Text;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>Chooses the time column of a log from the cells of its first rows.</summary>
internal sealed class TimeColumnChoice
{
    private readonly LogForm _form;
    private readonly string _path;
    private readonly IReadOnlyList<ColumnDraft> _columns;

    private TimeColumnChoice(LogForm form, string path, IReadOnlyList<ColumnDraft> columns) =>
        (_form, _path, _columns) = (form, path, columns);

    /// <summary>Marks the time column as used, and records for the others why they are not.</summary>
    /// <param name="form">Form of the log, with its first rows.</param>
    /// <param name="path">Name of the file, for faults.</param>
    /// <param name="columns">All columns.</param>
    /// <param name="needsTime">Whether a log without a time column is refused.</param>
    /// <returns>The column, null where there is none; and whether its cells are times written as text, not numbers.</returns>
    /// <exception cref="InputFaultException">No column can be used as time, and one is required.</exception>
    internal static (ColumnDraft? Column, bool IsText) Choose(LogForm form, string path, IReadOnlyList<ColumnDraft> columns, bool needsTime)
    {
        var choice = new TimeColumnChoice(form, path, columns);
        ColumnDraft? best = null;
        bool bestIsText = false;
        double bestScore = 0;
        foreach (ColumnDraft column in columns.Where(c => c.Channel?.Quantity == Quantity.Time))
        {
            (double score, bool text) = choice.Score(column);
            column.NotUsedWhy = score <= 0 ? "not a rising time" : "another time column is used";
            if (score > bestScore)
            {
                (best, bestScore, bestIsText) = (column, score, text);
            }
        }

        if (best is null)
        {
            return needsTime ? throw choice.NoTime() : (null, false);
        }

        best.Used = true;
        best.NotUsedWhy = null;
        best.Unit = bestIsText ? null : best.Unit;
        return (best, bestIsText);
    }

    private InputFaultException NoTime()
    {
        ColumnDraft? bad = _columns.FirstOrDefault(c => c.Channel?.Quantity == Quantity.Time);
        if (bad is not null)
        {
            string[] cells = [.. _form.FirstRows.Select(r => bad.Index < r.Length ? r[bad.Index].Trim() : "").Where(c => c.Length > 0)];
            string? unread = Array.Find(cells, c => !ReadsAsTime(c));
            bool first = unread is null || unread == cells[0];
            return Fault(
                first ? _form.DataLine : null,
                bad.Index + 1,
                $"'{CellText.Cut(unread ?? cells.FirstOrDefault() ?? "")}' under '{CellText.Cut(bad.Header)}' is not a "
                    + $"time{(unread is null ? " that rises" : "")}",
                "Export the time of each row in s, ms, µs or ns without marks between thousands, or as ISO date and time "
                    + "(2026-05-01T12:00:00.125)."
            );
        }

        return Fault(
            _form.HeaderLine,
            null,
            $"no column is named as time (the header starts '{CellText.Cut(string.Join(", ", _form.Headers.Take(8)))}')",
            "Name the time column time_s, time_ms or time_us, or name it in a columns file (vibecheck read --write-columns); for a log "
                + "without times give --rows-per-second."
        );
    }

    private bool ReadsAsTime(string cell)
    {
        byte[] text = Encoding.Latin1.GetBytes(cell);
        return NumberText.IsMissing(text)
            || TryRead(new StampReader(_form.DecimalMark, isText: false), text, out _)
            || TryRead(new StampReader(_form.DecimalMark, isText: true), text, out _);
    }

    private static bool TryRead(StampReader reader, byte[] cell, out double value)
    {
        int at = 0;
        return reader.TryRead(cell, ref at, cell.Length, out value) && at == cell.Length;
    }

    /// <summary>How well a column serves as time, 0 for not at all, and whether most of its cells are text. Its cells must be rising time
    /// stamps. Text, a known unit, a fine step and a place further left raise the score.</summary>
    private (double Score, bool Text) Score(ColumnDraft column)
    {
        int good = 0,
            text = 0,
            filled = 0,
            rising = 0,
            changes = 0;
        double before = double.NaN;
        var numbers = new StampReader(_form.DecimalMark, isText: false);
        var texts = new StampReader(_form.DecimalMark, isText: true);
        foreach (string[] row in _form.FirstRows)
        {
            byte[] cell = Encoding.Latin1.GetBytes(column.Index < row.Length ? row[column.Index].Trim() : "");
            if (NumberText.IsMissing(cell))
            {
                continue;
            }

            filled++;
            bool stamp = false;
            if (!TryRead(numbers, cell, out double value) && !(stamp = TryRead(texts, cell, out value)))
            {
                continue;
            }

            good++;
            text += stamp ? 1 : 0;
            rising += value >= before ? 1 : 0;
            changes += value != before && !double.IsNaN(before) ? 1 : 0;
            before = value;
        }

        if (good * 2 < filled || good == 0 || (good > 3 && (rising * 2 < good || changes == 0)))
        {
            return (0, false);
        }

        double score =
            1 + (double)changes / good + (column.Unit is not null || text > 0 ? 0.5 : 0) + (column.HowKnown == "columns file" ? 100 : 0);
        return (score + 0.001 * (_columns.Count - column.Index) / Math.Max(1, _columns.Count), text * 2 > good);
    }

    private InputFaultException Fault(int? line, int? column, string problem, string remedy) =>
        new(new InputFault(_path, line, column, problem, remedy));
}
