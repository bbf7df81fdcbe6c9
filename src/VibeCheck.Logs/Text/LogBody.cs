using System.Runtime.CompilerServices;
using CsvHelper;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Text;

/// <summary>Reads the data rows of a log into columns: a tight loop over bytes, with CsvHelper where quotes stand.</summary>
internal sealed class LogBody
{
    private const int BufferBytes = 1 << 20;
    private const int LongestQuotedRecord = 1 << 16;
    private const int ExamplesKept = 8;

    // No sensor of an aircraft gives more in any unit, counts of 32 bits and micro-units included; 1e308 squared is no number any more.
    private const double MostValue = 1e10;

    private readonly LogSource _source;
    private readonly LogForm _form;
    private readonly int _mostRows;
    private readonly IProgress<double>? _progress;
    private readonly ColumnTask[] _tasks;
    private readonly StampReader? _stamps;

    // One slot a column up to the last one needed; what this row gave.
    private readonly double[] _row;

    // Columns that keep every row, with their place: most of the work of a row is done over these.
    private readonly (int Column, DenseColumn Values, GrowingCount Count)[] _dense;
    private readonly int[] _sparse;
    private readonly DenseColumn?[] _allDense;
    private readonly GrowingSparseColumn?[] _allSparse;
    private readonly GrowingCount[] _counts;
    private readonly List<BadCell> _examples = [];
    private readonly int _stampColumn;
    private readonly byte _separator;
    private readonly byte _decimalMark;
    private readonly Dictionary<string, int> _labelNumbers = new(StringComparer.OrdinalIgnoreCase);
    private int _line;
    private int _kept;
    private int _seen;
    private int _unusable;
    private int _repeatedHeaders;
    private bool _cutLastLine;
    private int _badInRow;

    // Whether this row has more cells than the header.
    private bool _excess;

    // Where lines run ahead of rows by another number than before.
    private readonly List<(int FromRow, int Ahead)> _lines = [];
    private int _ahead;

    internal LogBody(LogSource source, LogForm form, ColumnTask[] tasks, StampReader? stamps, int mostRows, IProgress<double>? progress)
    {
        (_source, _form, _stamps, _mostRows, _progress) = (source, form, stamps, mostRows, progress);
        int last = Array.FindLastIndex(tasks, t => t != ColumnTask.Skip);
        _tasks = tasks[..(last + 1)];
        _row = new double[_tasks.Length];
        int rows = ExpectedRows();
        _allDense = [.. _tasks.Select(t => t is ColumnTask.Dense or ColumnTask.Stamp ? new DenseColumn(rows) : null)];
        _allSparse = [.. _tasks.Select(t => t is ColumnTask.Sparse or ColumnTask.Label ? new GrowingSparseColumn(rows) : null)];
        _counts = [.. _tasks.Select(_ => new GrowingCount())];
        _stampColumn = Array.IndexOf(_tasks, ColumnTask.Stamp);
        _dense = [.. Enumerable.Range(0, _tasks.Length).Where(c => _allDense[c] is not null).Select(c => (c, _allDense[c]!, _counts[c]))];
        _sparse = [.. Enumerable.Range(0, _tasks.Length).Where(c => _allSparse[c] is not null)];
        _separator = form.Separator;
        _decimalMark = form.DecimalMark;
    }

    /// <summary>How many rows there will be if every line from the first data line on is one; 0
    /// if that can't be told. Each cell takes two bytes
    /// or more, so that a file of empty lines claims no memory.</summary>
    private int ExpectedRows()
    {
        long rows = (_source.CountLines() ?? 0) - (_form.DataLine - 1),
            most = _source.FileBytes / Math.Max(1, 2 * _tasks.Length);
        return (int)Math.Clamp(Math.Min(rows, most), 0, Math.Min(_mostRows, Array.MaxLength));
    }

    /// <summary>What was read. The columns are handed over: to be called once, after <see cref="Read"/>.</summary>
    /// <param name="path">Name of the file, for faults.</param>
    /// <param name="contentHash">Hash of its bytes.</param>
    internal RawTable Table(string path, string contentHash) =>
        new(
            new()
            {
                Path = path,
                Form = _form,
                ContentHash = contentHash,
                Kept = _kept,
                Seen = _seen,
                Unusable = _unusable,
                RepeatedHeaders = _repeatedHeaders,
                CutLastLine = _cutLastLine,
                Examples = [.. _examples],
                Labels = [.. _labelNumbers.OrderBy(p => p.Value).Select(p => p.Key)],
                Counts = [.. _counts.Select(c => c.ToCount())],
                Lines = [.. _lines],
            },
            new([.. _allDense.Select(c => c?.TakeArray())], [.. _allSparse.Select(c => c?.TakeColumn())])
        );

    internal void Read(LogHead head, CancellationToken cancellation)
    {
        _line = _form.DataLine - 1;
        if (_form.QuotedBody && _separator != ' ')
        {
            ReadQuoted(head, cancellation);
            return;
        }

        ReadPlain(head, cancellation);
    }

    private void ReadPlain(LogHead head, CancellationToken cancellation)
    {
        int filled = head.Count - _form.DataOffset;
        byte[] buffer = head.IsWhole ? head.Bytes[_form.DataOffset..head.Count] : new byte[Math.Max(2 * BufferBytes, filled + BufferBytes)];
        if (!head.IsWhole)
        {
            head.Bytes.AsSpan(_form.DataOffset, filled).CopyTo(buffer);
        }

        bool ended = head.IsWhole;
        byte lineEnd =
            buffer.AsSpan(0, filled).IndexOf((byte)'\n') < 0 && buffer.AsSpan(0, filled).Contains((byte)'\r') ? (byte)'\r' : (byte)'\n';
        while (true)
        {
            int used = ReadLines(buffer.AsSpan(0, filled), lineEnd, ended);
            cancellation.ThrowIfCancellationRequested();
            _progress?.Report(_source.Progress);
            if (ended)
            {
                return;
            }

            int left = filled - used;
            if (left > LogHead.LongestLine)
            {
                throw LogHead.TooLong(_source.Path, _line + 1);
            }

            // A line longer than the buffer makes it grow, up to the longest line allowed.
            byte[] next = buffer.Length - left >= BufferBytes ? buffer : new byte[left + 2 * BufferBytes];
            buffer.AsSpan(used, left).CopyTo(next);
            buffer = next;
            int got = _source.Read(buffer.AsSpan(left, BufferBytes));
            filled = left + got;
            ended = got < BufferBytes;
        }
    }

    /// <summary>Reads the whole lines of a buffer; returns how many bytes they took.</summary>
    private int ReadLines(ReadOnlySpan<byte> buffer, byte lineEnd, bool last)
    {
        int at = 0;
        while (at < buffer.Length)
        {
            int length = buffer[at..].IndexOfAny(lineEnd, (byte)'"');
            bool quoted = length >= 0 && buffer[at + length] == '"';
            if (quoted)
            {
                length = buffer[at..].IndexOf(lineEnd);
            }

            bool cut = length < 0;
            if (cut)
            {
                if (!last)
                {
                    break;
                }

                length = buffer.Length - at;
            }

            ReadOnlySpan<byte> line = buffer.Slice(at, length);
            at += length + (cut ? 0 : 1);
            _line++;
            if (line.Length > 0 && line[^1] == '\r')
            {
                line = line[..^1];
            }

            ReadLine(line, cut, quoted);
        }

        return at;
    }

    private void ReadLine(ReadOnlySpan<byte> line, bool cut, bool quoted)
    {
        if (line.Length == 0 || IsAside(line))
        {
            return;
        }

        _badInRow = 0;
        _excess = false;
        int fields =
            quoted ? SplitQuoted(line)
            : _separator == ' ' ? SplitSpaced(line)
            : SplitPlain(line);
        if (fields < 0)
        {
            return;
        }

        Finish(line, fields, cut);
    }

    /// <summary>Blank, comment, units or header repeated: no data, and no fault either.</summary>
    private bool IsAside(ReadOnlySpan<byte> line)
    {
        byte first = line[0];
        if ((uint)(first - '0') <= 9 || first is (byte)'-' or (byte)'.')
        {
            return false;
        }

        ReadOnlySpan<byte> text = NumberText.Trim(line);
        if (text.Length == 0 || text[0] is (byte)'#' or (byte)'%' or 0x1a || text.StartsWith("//"u8))
        {
            return true;
        }

        if (text.SequenceEqual(NumberText.Trim(_form.HeaderBytes)))
        {
            _repeatedHeaders++;
            return true;
        }

        return false;
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
                int skip = line[at..].IndexOf(_separator);
                at = skip < 0 ? line.Length + 1 : at + skip + 1;
                continue;
            }

            int start = at;
            if (task != ColumnTask.Label && TryCell(line, ref at, column, task))
            {
                if (at == line.Length)
                {
                    at++;
                    continue;
                }

                if (line[at] == _separator)
                {
                    at++;
                    continue;
                }
            }

            int length = line[start..].IndexOf(_separator);
            int end = length < 0 ? line.Length : start + length;
            SlowCell(line[start..end], column, task);
            at = end + 1;
        }

        if (at <= line.Length)
        {
            NoteExcess(line, line[at..]);
        }

        return _tasks.Length;
    }

    /// <summary>Cells beyond the last header, but for blank ones: a separator too many moves all
    /// that follows, so nothing in the row is sure.</summary>
    private void NoteExcess(ReadOnlySpan<byte> line, ReadOnlySpan<byte> rest)
    {
        int named = _form.Headers.Count - _tasks.Length;
        if (named == 0 ? rest.Length > 0 && !IsBlank(rest) : rest.Count(_separator) >= named && !IsBlank(After(rest, named)))
        {
            Excess(line);
        }
    }

    private void Excess(ReadOnlySpan<byte> line)
    {
        if (_badInRow == 0)
        {
            Note(null, line, "has more cells than the header");
        }

        _badInRow++;
        _excess = true;
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

            int length = line[at..].IndexOf((byte)' ');
            int end = length < 0 ? line.Length : at + length;
            SlowCell(line[at..end], column, _tasks[column]);
            at = end;
        }

        return _tasks.Length;
    }

    /// <summary>A line with quotes among plain ones: split by CsvHelper.</summary>
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
            if (_tasks[column] != ColumnTask.Skip)
            {
                ReadOnlySpan<byte> cell = reader.GetSpan(column);
                int at = 0;
                if (_tasks[column] == ColumnTask.Label || !TryCell(cell, ref at, column, _tasks[column]) || at != cell.Length)
                {
                    SlowCell(cell, column, _tasks[column]);
                }
            }
        }

        for (int column = _form.Headers.Count; column < reader.FieldCount && !_excess; column++)
        {
            if (!IsBlank(reader.GetSpan(column)))
            {
                Excess(reader.RawRecord);
            }
        }

        return fields;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private bool TryCell(ReadOnlySpan<byte> line, ref int at, int column, ColumnTask task)
    {
        if (task == ColumnTask.Stamp)
        {
            int end = at;
            if (_stamps!.IsText)
            {
                int length = line[at..].IndexOf(_separator);
                end = length < 0 ? line.Length : at + length;
            }

            return _stamps.TryRead(line, ref at, end, out _row[column]);
        }

        return NumberText.TryRead(line, ref at, _decimalMark, out _row[column]) && Math.Abs(_row[column]) <= MostValue;
    }

    /// <summary>A cell with blanks around it, an empty one, a label, or no number at all.</summary>
    private void SlowCell(ReadOnlySpan<byte> cell, int column, ColumnTask task)
    {
        if (task == ColumnTask.Skip)
        {
            return;
        }

        ReadOnlySpan<byte> text = NumberText.Trim(cell);
        if (task == ColumnTask.Label)
        {
            _row[column] = text.Length == 0 ? double.NaN : LabelNumber(text);
            return;
        }

        int at = 0;
        if (text.Length > 0 && TryCell(text, ref at, column, task) && at == text.Length)
        {
            return;
        }

        if (task != ColumnTask.Stamp && NumberText.TryReadGrouped(text, _decimalMark, out _, out _row[column]))
        {
            return;
        }

        _row[column] = double.NaN;
        if (!NumberText.IsMissing(text))
        {
            _badInRow++;
            Note(
                column,
                text,
                task == ColumnTask.Stamp ? "is not a time"
                    : IsNumber(text) ? "is more than any sensor gives"
                    : "is not a number"
            );
        }
    }

    private bool IsNumber(ReadOnlySpan<byte> text)
    {
        int at = 0;
        return NumberText.TryRead(text, ref at, _decimalMark, out _) && at == text.Length;
    }

    private double LabelNumber(ReadOnlySpan<byte> text)
    {
        const int MostLabels = 256;
        Span<char> chars = stackalloc char[Math.Min(text.Length, 64)];
        int count = System.Text.Encoding.Latin1.GetChars(text[..chars.Length], chars);
        var lookup = _labelNumbers.GetAlternateLookup<ReadOnlySpan<char>>();
        if (lookup.TryGetValue(chars[..count], out int number))
        {
            return number;
        }

        if (_labelNumbers.Count >= MostLabels)
        {
            return double.NaN;
        }

        number = _labelNumbers.Count;
        _labelNumbers[chars[..count].ToString()] = number;
        return number;
    }

    private void Note(int? column, ReadOnlySpan<byte> text, string problem)
    {
        if (_examples.Count < ExamplesKept)
        {
            _examples.Add(
                new(_line, column + 1, CellText.Cut(System.Text.Encoding.Latin1.GetString(text[..Math.Min(text.Length, 80)])), problem)
            );
        }
    }

    /// <summary>Takes a row in, or counts it as unusable.</summary>
    private void Finish(ReadOnlySpan<byte> line, int fields, bool cut)
    {
        if (cut && fields < _tasks.Length)
        {
            _cutLastLine = true;
            return;
        }

        _seen++;
        if (_seen > _mostRows)
        {
            throw new InputFaultException(
                new InputFault(
                    _source.Path,
                    _line,
                    null,
                    $"there are more than {_mostRows} rows",
                    "Cut the log to the flight and read that."
                )
            );
        }

        if (fields < _tasks.Length)
        {
            for (int column = fields; column < _tasks.Length; column++)
            {
                _row[column] = double.NaN;
            }

            if (fields < 2)
            {
                Unusable(line, "has too few fields");
                return;
            }
        }

        Store(line);
    }

    private void Store(ReadOnlySpan<byte> line)
    {
        if (_stampColumn >= 0 && double.IsNaN(_row[_stampColumn]))
        {
            Unusable(line, "has no time");
            return;
        }

        if (_excess)
        {
            _unusable++;
            return;
        }

        bool any = HasValue();
        if (!any || _badInRow > 0)
        {
            _unusable++;
            if (!any)
            {
                if (_badInRow == 0)
                {
                    Note(null, line, "has no value that is used");
                }

                return;
            }
        }

        foreach ((int column, DenseColumn values, GrowingCount count) in _dense)
        {
            double value = _row[column];
            values.Add(value);
            count.Take(value);
        }

        foreach (int column in _sparse)
        {
            if (!double.IsNaN(_row[column]))
            {
                _allSparse[column]!.Add(_kept, _row[column]);
                _counts[column].Take(_row[column]);
            }
        }

        if (_line - _kept != _ahead)
        {
            _ahead = _line - _kept;
            _lines.Add((_kept, _ahead));
        }

        _kept++;
    }

    private bool HasValue()
    {
        foreach ((int column, _, _) in _dense)
        {
            if (column != _stampColumn && !double.IsNaN(_row[column]))
            {
                return true;
            }
        }

        foreach (int column in _sparse)
        {
            if (_tasks[column] == ColumnTask.Sparse && !double.IsNaN(_row[column]))
            {
                return true;
            }
        }

        return false;
    }

    private void Unusable(ReadOnlySpan<byte> line, string problem)
    {
        _unusable++;
        if (_badInRow == 0)
        {
            Note(null, line, problem);
        }
    }

    /// <summary>Bodies with quotes from the start: CsvHelper reads them whole, line breaks within quotes as RFC 4180 has them.</summary>
    private void ReadQuoted(LogHead head, CancellationToken cancellation)
    {
        using var stream = new ChainedStream(
            head.Bytes.AsMemory(_form.DataOffset, head.Count - _form.DataOffset),
            new SourceStream(_source)
        );
        using CsvReader reader = CsvReader.Create(
            stream,
            CsvText.Options(_separator) with
            {
                MaxRecordSize = LongestQuotedRecord,
                TrackLineNumbers = true,
            }
        );
        int sinceReport = 0;
        while (true)
        {
            try
            {
                if (!reader.Read())
                {
                    break;
                }
            }
            catch (CsvFormatException)
            {
                throw new InputFaultException(
                    new InputFault(
                        _source.Path,
                        _line + 1,
                        null,
                        "a quote that opens here does not close within 64 kB",
                        "Close or remove the quote."
                    )
                );
            }

            _line = _form.DataLine + (int)Math.Min(int.MaxValue / 2, reader.LineNumber) - 1;
            ReadOnlySpan<byte> raw = reader.RawRecord;
            if (raw.Length == 0 || IsAside(raw))
            {
                continue;
            }

            _badInRow = 0;
            _excess = false;
            int fields = ReadFields(reader);
            Finish(raw, fields, cut: false);
            if (++sinceReport >= 16384)
            {
                sinceReport = 0;
                cancellation.ThrowIfCancellationRequested();
                _progress?.Report(_source.Progress);
            }
        }
    }

    /// <summary>The rest of a source as a stream.</summary>
    private sealed class SourceStream(LogSource source) : ForwardStream
    {
        public override int Read(Span<byte> buffer) => source.Read(buffer);
    }
}
