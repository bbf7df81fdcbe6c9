using System.Runtime.CompilerServices;
using CsvHelper;

namespace VibeCheck.Logs.Text;

/// <summary>Splits one row of a log into cells and reads them as numbers. It keeps only the result of the last row.</summary>
internal sealed class RowParser
{
    // No sensor of an aircraft gives larger values in any unit, including 32-bit counts and micro-units. The square of 1e308 overflows.
    private const double MostValue = 1e10;

    private readonly ColumnTask[] _tasks;
    private readonly StampReader? _stamps;
    private readonly BadCellExamples _badCells;
    private readonly ColumnLabels _labels = new();
    private readonly int _headers;
    private readonly byte _separator;
    private readonly byte _decimalMark;
    private readonly double[] _values;

    /// <param name="form">Separator, decimal mark and headers of the log.</param>
    /// <param name="tasks">What to do with each column, up to the last one that is needed.</param>
    /// <param name="stamps">Reads the time column; null where the log has none.</param>
    /// <param name="badCells">Receives the cells that are not numbers.</param>
    internal RowParser(LogForm form, ColumnTask[] tasks, StampReader? stamps, BadCellExamples badCells)
    {
        (_tasks, _stamps, _badCells) = (tasks, stamps, badCells);
        (_headers, _separator, _decimalMark) = (form.Headers.Count, form.Separator, form.DecimalMark);
        _values = new double[tasks.Length];
    }

    /// <summary>One number for each task, in the log's own units: NaN for a cell that is empty or not a number. Elements from the number of
    /// cells that <see cref="Parse(ReadOnlySpan{byte}, int, bool)"/> returned onwards, and elements of skipped columns, hold old
    /// numbers.</summary>
    internal double[] Values => _values;

    /// <summary>Line of the row in the file, from 1.</summary>
    internal int Line { get; private set; }

    /// <summary>Number of cells in the row that are neither numbers nor empty.</summary>
    internal int BadCells { get; private set; }

    /// <summary>Whether the row has more cells than the header.</summary>
    internal bool HasExcessCells { get; private set; }

    /// <summary>Texts of the columns that name a motor or an IMU, each at the index given by its number.</summary>
    internal IReadOnlyList<string> Labels => _labels.InOrder;

    /// <summary>Reads a row from the bytes of its line; returns how many of the needed cells it has, or -1 when the line has no
    /// row.</summary>
    /// <param name="text">The line without its line break.</param>
    /// <param name="line">Its number in the file, from 1.</param>
    /// <param name="quoted">Whether there are quotes in the line.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal int Parse(ReadOnlySpan<byte> text, int line, bool quoted)
    {
        Begin(line);
        return quoted ? SplitQuoted(text)
            : _separator == ' ' ? SplitSpaced(text)
            : SplitPlain(text);
    }

    /// <summary>Reads the current record of CsvHelper; returns how many of the needed cells it has.</summary>
    internal int Parse(CsvReader reader, int line)
    {
        Begin(line);
        return ReadFields(reader);
    }

    private void Begin(int line)
    {
        Line = line;
        if (_stamps is not null)
        {
            _stamps.Line = line;
        }

        BadCells = 0;
        HasExcessCells = false;
    }

    private int SplitPlain(ReadOnlySpan<byte> line)
    {
        int at = 0;
        for (int column = 0; column < _tasks.Length; column++)
        {
            if (at > line.Length)
            {
                return column;
            }

            ColumnTask task = _tasks[column];
            if (task == ColumnTask.Skip)
            {
                at = EndOfCell(line, at) + 1;
                continue;
            }

            int start = at;
            if (task != ColumnTask.Label && TryCell(line, ref at, column, task) && (at == line.Length || line[at] == _separator))
            {
                at++;
                continue;
            }

            int end = EndOfCell(line, start);
            SlowCell(line[start..end], column, task);
            at = end + 1;
        }

        if (at <= line.Length)
        {
            NoteExcess(line, line[at..]);
        }

        return _tasks.Length;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private int EndOfCell(ReadOnlySpan<byte> line, int start)
    {
        int length = line[start..].IndexOf(_separator);
        return length < 0 ? line.Length : start + length;
    }

    /// <summary>Looks for cells beyond the last header that are not blank. One extra separator shifts all cells after it, so no number of
    /// such a row can be trusted.</summary>
    private void NoteExcess(ReadOnlySpan<byte> line, ReadOnlySpan<byte> rest)
    {
        int notNeeded = _headers - _tasks.Length;
        if (notNeeded == 0 ? rest.Length > 0 && !IsBlank(rest) : rest.Count(_separator) >= notNeeded && !IsBlank(After(rest, notNeeded)))
        {
            NoteExcess(line);
        }
    }

    private void NoteExcess(ReadOnlySpan<byte> line)
    {
        if (BadCells == 0)
        {
            _badCells.Add(Line, null, line, "has more cells than the header");
        }

        BadCells++;
        HasExcessCells = true;
    }

    private ReadOnlySpan<byte> After(ReadOnlySpan<byte> rest, int separators)
    {
        for (int i = 0; i < separators; i++)
        {
            rest = rest[(rest.IndexOf(_separator) + 1)..];
        }

        return rest;
    }

    private bool IsBlank(ReadOnlySpan<byte> rest) => rest.IndexOfAnyExcept(_separator, (byte)' ', (byte)'\t') < 0;

    private int SplitSpaced(ReadOnlySpan<byte> line)
    {
        int at = 0;
        for (int column = 0; column < _tasks.Length; column++)
        {
            while (at < line.Length && line[at] == ' ')
            {
                at++;
            }

            if (at >= line.Length)
            {
                return column;
            }

            int end = EndOfCell(line, at);
            SlowCell(line[at..end], column, _tasks[column]);
            at = end;
        }

        return _tasks.Length;
    }

    private int SplitQuoted(ReadOnlySpan<byte> line)
    {
        using CsvReader reader = CsvReader.Create(line.ToArray(), CsvText.Options(_separator));
        return reader.Read() ? ReadFields(reader) : -1;
    }

    private int ReadFields(CsvReader reader)
    {
        int fields = Math.Min(reader.FieldCount, _tasks.Length);
        for (int column = 0; column < fields; column++)
        {
            ColumnTask task = _tasks[column];
            if (task == ColumnTask.Skip)
            {
                continue;
            }

            ReadOnlySpan<byte> cell = reader.GetSpan(column);
            int at = 0;
            if (task == ColumnTask.Label || !TryCell(cell, ref at, column, task) || at != cell.Length)
            {
                SlowCell(cell, column, task);
            }
        }

        for (int column = _headers; column < reader.FieldCount && !HasExcessCells; column++)
        {
            if (!IsBlank(reader.GetSpan(column)))
            {
                NoteExcess(reader.RawRecord);
            }
        }

        return fields;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private bool TryCell(ReadOnlySpan<byte> line, ref int at, int column, ColumnTask task)
    {
        if (task == ColumnTask.Stamp)
        {
            int end = _stamps!.IsText ? EndOfCell(line, at) : at;
            return _stamps.TryRead(line, ref at, end, out _values[column]);
        }

        return NumberText.TryRead(line, ref at, _decimalMark, out _values[column]) && Math.Abs(_values[column]) <= MostValue;
    }

    /// <summary>Reads a cell that is not a plain number: one with blanks around it or thousands separators, an empty one, a label, or one
    /// that cannot be used.</summary>
    private void SlowCell(ReadOnlySpan<byte> cell, int column, ColumnTask task)
    {
        if (task == ColumnTask.Skip)
        {
            return;
        }

        ReadOnlySpan<byte> text = NumberText.Trim(cell);
        if (task == ColumnTask.Label)
        {
            _values[column] = text.Length == 0 ? double.NaN : _labels.NumberOf(text);
            return;
        }

        int at = 0;
        if (text.Length > 0 && TryCell(text, ref at, column, task) && at == text.Length)
        {
            return;
        }

        if (task != ColumnTask.Stamp && NumberText.TryReadGrouped(text, _decimalMark, out _, out _values[column]))
        {
            return;
        }

        _values[column] = double.NaN;
        if (!NumberText.IsMissing(text))
        {
            BadCells++;
            _badCells.Add(Line, column, text, ProblemOf(text, task));
        }
    }

    private string ProblemOf(ReadOnlySpan<byte> text, ColumnTask task)
    {
        int at = 0;
        return task == ColumnTask.Stamp ? "is not a time"
            : NumberText.TryRead(text, ref at, _decimalMark, out _) && at == text.Length ? "is more than any sensor gives"
            : "is not a number";
    }
}
