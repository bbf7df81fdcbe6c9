using System.Globalization;
using System.Text;
using CsvHelper;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Forms;

/// <summary>Finds separator, decimal mark, header, units row and the start of the data.</summary>
internal sealed class FormFinder
{
    private const int MostColumns = 100_000;
    private const int RunToTrust = 5;
    private const int RunToJudge = 200;
    private const int MostLines = 3000;

    private readonly LogHead _head;
    private readonly string _path;
    private readonly string _encoding;

    private FormFinder(LogHead head, string path, string encoding) => (_head, _path, _encoding) = (head, path, encoding);

    /// <summary>Finds the form of a log.</summary>
    /// <param name="head">Its first lines.</param>
    /// <param name="source">The source of the log.</param>
    /// <param name="decimalMark">Decimal mark that the user gave; null to find it.</param>
    internal static LogForm Find(LogHead head, LogSource source, char? decimalMark) =>
        new FormFinder(head, source.Path, source.Encoding).Find(source.Packed, decimalMark);

    private LogForm Find(bool packed, char? decimalMark)
    {
        (char separator, bool comma, int first) = BestSeparator();
        comma = decimalMark is null ? comma : decimalMark == ',';
        string[] firstRow = Split(_head.Text(first), separator);
        if (firstRow.Length > MostColumns)
        {
            throw Fault(first + 1, $"there are more than {MostColumns} columns", "Export only the columns of the IMU and the ESCs.");
        }

        (int header, int units) = FindHeader(first, separator, firstRow.Length);
        bool hasHeader = header >= 0;
        string[] headers = hasHeader
            ? FitToRow(Split(Uncommented(_head.Text(header)), separator), firstRow.Length)
            : [.. Enumerable.Range(1, firstRow.Length).Select(i => string.Create(CultureInfo.InvariantCulture, $"column {i}"))];
        List<string[]> rows = FirstRows(first, separator);
        bool grouped = false;
        if (comma && decimalMark is null)
        {
            CommaUse use = CommaUse.Of(headers, rows);
            grouped = use.IsDecimal == false;
            comma = use.IsDecimal ?? throw TwoReadings(use, headers, first);
        }

        bool quoted = Enumerable.Range(first, Math.Min(20, _head.Lines.Count - first)).Any(i => _head.Line(i).Contains((byte)'"'));
        return new()
        {
            Separator = (byte)separator,
            DecimalMark = comma ? (byte)',' : (byte)'.',
            Headers = headers,
            UnitsRow = units < 0 ? null : FitToRow(Split(Uncommented(_head.Text(units)), separator), headers.Length),
            HasHeader = hasHeader,
            HeaderLine = (hasHeader ? header : first) + 1,
            HeaderBytes = hasHeader ? _head.Line(header).ToArray() : [],
            DataOffset = _head.Lines[first].From,
            DataLine = first + 1,
            QuotedBody = quoted,
            FirstRows = rows,
            Phrases = Phrases(separator, comma, header, units, packed, quoted, grouped),
        };
    }

    private InputFaultException TwoReadings(CommaUse use, string[] headers, int first)
    {
        string cell = CellText.Cut(use.Cell);
        return new(
            new InputFault(
                _path,
                first + 1 + use.Row,
                use.Column + 1,
                $"'{cell}' under '{CellText.Cut(headers[use.Column])}' may be {cell.Replace(',', '.')} or "
                    + $"{cell.Replace(",", "", StringComparison.Ordinal)}, and nothing in the log shows which",
                "Say it in a columns file: decimal_mark = \",\" for the first, decimal_mark = \".\" for the second; or write the log "
                    + "without marks between thousands."
            )
        );
    }

    private List<string> Phrases(char separator, bool comma, int header, int units, bool packed, bool quoted, bool grouped)
    {
        List<string> phrases =
        [
            LogForm.NameOf((byte)separator) + " separated",
            comma ? "decimal comma"
            : grouped ? "commas between thousands"
            : "decimal point",
            _head.IsLatin1 ? "Latin-1" : _encoding,
        ];
        if (packed)
        {
            phrases.Add("compressed (gzip)");
        }

        if (header < 0)
        {
            phrases.Add("no header, columns numbered from 1");
        }
        else if (header > 0)
        {
            phrases.Add(string.Create(CultureInfo.InvariantCulture, $"header in line {header + 1}"));
        }

        if (units >= 0)
        {
            phrases.Add("units row");
        }

        if (quoted)
        {
            phrases.Add("quoted fields");
        }

        return phrases;
    }

    /// <summary>The separator with which most cells of a steady run of lines are numbers, and the first line of that run.</summary>
    private (char Separator, bool DecimalComma, int FirstLine) BestSeparator()
    {
        (char, bool, int) best = (',', false, -1);
        double bestScore = 0;
        foreach (char separator in (char[])[',', ';', '\t', '|', ' '])
        {
            foreach (bool comma in (bool[])[false, true])
            {
                (double score, int first) = Score(separator, comma);
                if (score > bestScore * 1.0001)
                {
                    bestScore = score;
                    best = (separator, comma, first);
                }
            }
        }

        if (best.Item3 < 0)
        {
            throw NoData();
        }

        return best;
    }

    private InputFaultException NoData()
    {
        int line = 0;
        while (line < _head.Lines.Count - 1 && _head.Line(line).Trim((byte)' ').Length == 0)
        {
            line++;
        }

        return Fault(
            line + 1,
            $"no rows of numbers follow (this line holds '{CellText.Cut(_head.Text(line))}')",
            "A log has one header line and then rows of numbers, separated by commas, semicolons, tabs, pipes or spaces."
        );
    }

    /// <summary>The first run of lines that is long enough to trust (else the longest) and looks like data: the same number of fields (one
    /// more or less), cells mostly numbers. Lines that interrupt a trusted run, such as a repeated header, are skipped.</summary>
    private (double Score, int First) Score(char separator, bool comma)
    {
        Run best = default,
            run = default;
        for (int i = 0; i < Math.Min(_head.Lines.Count, MostLines) && run.Length < RunToJudge; i++)
        {
            ReadOnlySpan<byte> line = _head.Line(i);
            if (IsBlankOrComment(line, separator))
            {
                continue;
            }

            (int fields, int numbers, int filled) = Count(line, separator, comma);
            bool data = fields >= 2 && numbers >= 1 && numbers * 4 >= filled && (numbers >= 2 || filled <= 2);
            if (data && run.Length > 0 && Math.Abs(fields - run.Fields) <= 1)
            {
                run = run with { Length = run.Length + 1, Filled = run.Filled + filled, Numbers = run.Numbers + numbers };
            }
            else if (run.Length < RunToTrust)
            {
                best = run.Length > best.Length ? run : best;
                run = data ? new(i, 1, fields, filled, numbers) : default;
            }
        }

        best = run.Length > best.Length ? run : best;
        return best.Length == 0 ? (0, -1) : ((double)best.Numbers / best.Filled + 0.001 * Math.Log(best.Numbers), best.First);
    }

    private readonly record struct Run(int First, int Length, int Fields, int Filled, int Numbers);

    private static bool IsBlankOrComment(ReadOnlySpan<byte> line, char separator)
    {
        ReadOnlySpan<byte> text = NumberText.Trim(line);
        return text.Length == 0 || text[0] is (byte)'#' or (byte)'%' || text.StartsWith("//"u8) || (text[0] == ';' && separator != ';');
    }

    private (int Fields, int Numbers, int Filled) Count(ReadOnlySpan<byte> line, char separator, bool comma)
    {
        if (line.Contains((byte)'"'))
        {
            string[] cells = Split(_head.Decode(line), separator);
            return (
                cells.Length,
                cells.Count(c => IsNumber(Encoding.UTF8.GetBytes(c), comma)),
                cells.Count(c => !NumberText.IsMissing(Encoding.UTF8.GetBytes(c)))
            );
        }

        int fields = 0,
            numbers = 0,
            filled = 0;
        ReadOnlySpan<byte> rest = separator == ' ' ? line.Trim((byte)' ') : line;
        while (true)
        {
            int end = rest.IndexOf((byte)separator);
            ReadOnlySpan<byte> cell = end < 0 ? rest : rest[..end];
            if (separator != ' ' || cell.Length > 0)
            {
                fields++;
                if (!NumberText.IsMissing(cell))
                {
                    filled++;
                    numbers += IsNumber(cell, comma) ? 1 : 0;
                }
            }

            if (end < 0)
            {
                return (fields, numbers, filled);
            }

            rest = rest[(end + 1)..];
        }
    }

    internal static bool IsNumber(ReadOnlySpan<byte> cell, bool comma)
    {
        ReadOnlySpan<byte> text = NumberText.Trim(cell);
        int at = 0;
        byte mark = comma ? (byte)',' : (byte)'.';
        return (NumberText.TryRead(text, ref at, mark, out _) && at == text.Length)
            || StampText.TryRead(text, out _, out _, out _)
            || (NumberText.TryReadGrouped(text, mark, out bool isClear, out _) && isClear);
    }

    /// <summary>The header is the nearest line above the data that has this number of fields and names channels; a units row may lie
    /// between.</summary>
    private (int Header, int Units) FindHeader(int first, char separator, int fields)
    {
        int nearest = -1,
            named = -1;
        for (int i = first - 1; i >= 0 && named < 0; i--)
        {
            string text = Uncommented(_head.Text(i));
            if (text.Length == 0)
            {
                continue;
            }

            string[] cells = Split(text, separator);
            bool fits = cells.Length >= 2 && (Math.Abs(cells.Length - fields) <= 1 || (cells.Length > fields && nearest < 0));
            if (!fits || IsUnitsRow(cells))
            {
                continue;
            }

            nearest = nearest < 0 ? i : nearest;
            if (cells.Count(c => ChannelFinder.Find(c).Channel is not null) >= Math.Min(2, cells.Length))
            {
                named = i;
            }
        }

        int header = named >= 0 ? named : nearest;
        if (header < 0)
        {
            return (-1, -1);
        }

        for (int i = header + 1; i < first; i++)
        {
            string text = Uncommented(_head.Text(i));
            if (text.Length > 0 && IsUnitsRow(Split(text, separator)))
            {
                return (header, i);
            }
        }

        return (header, -1);
    }

    private static bool IsUnitsRow(string[] cells)
    {
        int units = 0,
            others = 0;
        foreach (string cell in cells)
        {
            string unit = CellText.StripBrackets(cell);
            if (unit is "" or "-" or "--")
            {
                continue;
            }

            bool known = UnitTable.Find(unit).Count > 0;
            units += known ? 1 : 0;
            others += known ? 0 : 1;
        }

        return units >= 1 && units > others * 2;
    }

    private static string Uncommented(string line)
    {
        string text = line.Trim();
        return text.StartsWith('#') || text.StartsWith('%') ? text.TrimStart('#', '%').TrimStart()
            : text.StartsWith("//", StringComparison.Ordinal) ? text[2..].TrimStart()
            : line;
    }

    private static string[] FitToRow(string[] cells, int fields)
    {
        int count = Math.Max(fields, cells.Length);
        while (count > 1 && count > fields && cells[count - 1].Trim().Length == 0)
        {
            count--;
        }

        return [.. Enumerable.Range(0, count).Select(i => i < cells.Length ? cells[i].Trim() : "")];
    }

    private List<string[]> FirstRows(int first, char separator)
    {
        var rows = new List<string[]>();
        for (int i = first; i < _head.Lines.Count && rows.Count < 200; i++)
        {
            ReadOnlySpan<byte> line = _head.Line(i);
            if (!IsBlankOrComment(line, separator) && line.Length < 200_000)
            {
                rows.Add(Split(_head.Decode(line), separator));
            }
        }

        return rows;
    }

    /// <summary>Fields of one line. Quoted ones are read by CsvHelper, RFC 4180.</summary>
    internal static string[] Split(string line, char separator)
    {
        if (!line.Contains('"'))
        {
            return separator == ' ' ? line.Split(' ', StringSplitOptions.RemoveEmptyEntries) : line.Split(separator);
        }

        using CsvReader reader = CsvReader.FromText(line, CsvText.Options((byte)separator));
        if (!reader.Read())
        {
            return [];
        }

        string[] fields = new string[reader.FieldCount];
        for (int i = 0; i < fields.Length; i++)
        {
            fields[i] = reader.GetString(i);
        }

        return separator == ' ' ? [.. fields.Where(f => f.Length > 0)] : fields;
    }

    private InputFaultException Fault(int line, string problem, string remedy) => new(new InputFault(_path, line, null, problem, remedy));
}
