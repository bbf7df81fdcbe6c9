using CsvHelper;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Text;

/// <summary>Finds the lines of a log's data rows: a tight loop over bytes, or CsvHelper where cells are quoted. <see cref="RowParser"/>
/// reads each line, <see cref="TableBuilder"/> collects the rows.</summary>
internal sealed class LogBody
{
    private const int BufferBytes = 1 << 20;
    private const int LongestQuotedRecord = 1 << 16;
    private const int RecordsPerReport = 1 << 14;

    private readonly LogSource _source;
    private readonly LogForm _form;
    private readonly IProgress<double>? _progress;
    private readonly RowParser _row;
    private readonly TableBuilder _table;
    private int _line;
    private int _repeatedHeaders;

    /// <param name="source">The file, read as far as the head.</param>
    /// <param name="form">Its form.</param>
    /// <param name="tasks">What to do with each column.</param>
    /// <param name="stamps">Reads the time column; null where the log has none.</param>
    /// <param name="mostRows">Largest number of rows; a file with more is refused.</param>
    /// <param name="progress">Receives the share of the file that was read, 0 to 1.</param>
    internal LogBody(LogSource source, LogForm form, ColumnTask[] tasks, StampReader? stamps, int mostRows, IProgress<double>? progress)
    {
        (_source, _form, _progress) = (source, form, progress);
        ColumnTask[] needed = tasks[..(Array.FindLastIndex(tasks, t => t != ColumnTask.Skip) + 1)];
        BadCellExamples badCells = new();
        _row = new(form, needed, stamps, badCells);
        _table = new(source.Path, _row, needed, badCells, ExpectedRows(needed.Length, mostRows), mostRows);
    }

    /// <summary>Number of rows if every line from the first data line on is one; 0 if that is not known. Each cell takes at least two
    /// bytes, so a file of empty lines reserves no memory.</summary>
    private int ExpectedRows(int columns, int mostRows)
    {
        long rows = (_source.CountLines() ?? 0) - (_form.DataLine - 1),
            most = _source.FileBytes / Math.Max(1, 2 * columns);
        return (int)Math.Clamp(Math.Min(rows, most), 0, Math.Min(mostRows, Array.MaxLength));
    }

    /// <summary>Reads all rows. Call it once.</summary>
    /// <param name="head">The first part of the file, from which its form was found.</param>
    /// <param name="cancellation">Stops the reading between two blocks.</param>
    /// <exception cref="InputFaultException">A line is too long, a quote does not close, or there are too many rows.</exception>
    internal RawTable Read(LogHead head, CancellationToken cancellation)
    {
        _line = _form.DataLine - 1;
        if (_form.QuotedBody && _form.Separator != ' ')
        {
            ReadQuoted(head, cancellation);
        }
        else
        {
            ReadPlain(head, cancellation);
        }

        return _table.Build(_form, _source.Hash(), _repeatedHeaders);
    }

    private void ReadPlain(LogHead head, CancellationToken cancellation)
    {
        ReadOnlySpan<byte> first = head.Bytes.AsSpan(_form.DataOffset, head.Count - _form.DataOffset);
        byte[] buffer = new byte[head.IsWhole ? first.Length : Math.Max(2 * BufferBytes, first.Length + BufferBytes)];
        first.CopyTo(buffer);
        byte lineEnd = first.IndexOf((byte)'\n') < 0 && first.Contains((byte)'\r') ? (byte)'\r' : (byte)'\n';
        int filled = first.Length;
        bool ended = head.IsWhole;
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

            // A line longer than the buffer makes the buffer grow, up to the longest line allowed.
            byte[] next = buffer.Length - left >= BufferBytes ? buffer : new byte[left + 2 * BufferBytes];
            buffer.AsSpan(used, left).CopyTo(next);
            buffer = next;
            int got = _source.Read(buffer.AsSpan(left, BufferBytes));
            filled = left + got;
            ended = got < BufferBytes;
        }
    }

    /// <summary>Reads the complete lines of a buffer; returns the number of bytes that they took.</summary>
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
        if (line.Length == 0 || IsNoRow(line))
        {
            return;
        }

        int fields = _row.Parse(line, _line, quoted);
        if (fields >= 0)
        {
            _table.Add(line, fields, cut);
        }
    }

    /// <summary>Whether a line is blank, a comment, or a repeated header: not data, but not a fault either.</summary>
    private bool IsNoRow(ReadOnlySpan<byte> line)
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

    /// <summary>Reads a body with quotes from its start with CsvHelper, because RFC 4180 allows line breaks within quotes.</summary>
    private void ReadQuoted(LogHead head, CancellationToken cancellation)
    {
        using var stream = new ChainedStream(
            head.Bytes.AsMemory(_form.DataOffset, head.Count - _form.DataOffset),
            new SourceStream(_source)
        );
        using CsvReader reader = CsvReader.Create(
            stream,
            CsvText.Options(_form.Separator) with
            {
                MaxRecordSize = LongestQuotedRecord,
                TrackLineNumbers = true,
            }
        );
        int sinceReport = 0;
        while (TryReadRecord(reader))
        {
            _line = _form.DataLine + (int)Math.Min(int.MaxValue / 2, reader.LineNumber) - 1;
            ReadOnlySpan<byte> raw = reader.RawRecord;
            if (raw.Length == 0 || IsNoRow(raw))
            {
                continue;
            }

            _table.Add(raw, _row.Parse(reader, _line), cut: false);
            if (++sinceReport >= RecordsPerReport)
            {
                sinceReport = 0;
                cancellation.ThrowIfCancellationRequested();
                _progress?.Report(_source.Progress);
            }
        }
    }

    private bool TryReadRecord(CsvReader reader)
    {
        try
        {
            return reader.Read();
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
    }

    /// <summary>The rest of a source as a stream.</summary>
    private sealed class SourceStream(LogSource source) : ForwardStream
    {
        public override int Read(Span<byte> buffer) => source.Read(buffer);
    }
}
