using System.Diagnostics;
using System.Globalization;
using System.Text;
using CsvHelper;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Forms;
using VibeCheck.Logs.Text;

namespace VibeCheck.Benchmarks;

/// <summary>Compares the tool's own reading loop with CsvHelper's reader at equal output: both return the same columns, the same line
/// numbers of rows and the same faults, for a clean log and for a damaged one.</summary>
internal static class ReaderPair
{
    private const int Columns = 7;
    private const int Rounds = 21;

    internal static int Run(string[] rest, TextWriter output)
    {
        int rows = rest is [string n] ? int.Parse(n, CultureInfo.InvariantCulture) : 700_000;
        foreach (bool damaged in (bool[])[false, true])
        {
            string path = Path.Combine(Path.GetTempPath(), "vibecheck-pair-imu.csv");
            MakeLog(path, rows, damaged);
            double megabytes = new FileInfo(path).Length / 1e6;
            RawTable own = OwnLoop(path);
            RequireAlike(own, LibraryTable(path, hashed: false));
            RequireAlike(own, LibraryTable(path, hashed: true));
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{(damaged ? "damaged" : "clean")} log, {megabytes:F0} MB, {own.Rows.Kept} rows kept, {own.Rows.Unusable} unusable: "
                        + $"columns, lines and faults are alike"
                )
            );
            (string Name, Action Read)[] readers =
            [
                ("own loop, as the tool uses it (hash, count of lines)", () => OwnLoop(path)),
                ("CsvHelper, the same result, no hash", () => LibraryTable(path, hashed: false)),
                ("CsvHelper, the same result, hash and count of lines", () => LibraryTable(path, hashed: true)),
            ];
            Time(readers, megabytes, output);
            File.Delete(path);
        }

        return 0;
    }

    /// <summary>Runs the readers in turn, so that other load of the machine affects all equally.</summary>
    private static void Time((string Name, Action Read)[] readers, double megabytes, TextWriter output)
    {
        var process = Process.GetCurrentProcess();
        var wall = Array.ConvertAll(readers, _ => new List<double>());
        var cpu = Array.ConvertAll(readers, _ => new List<double>());
        for (int round = 0; round < Rounds + 2; round++)
        {
            for (int i = 0; i < readers.Length; i++)
            {
                GC.Collect();
                process.Refresh();
                double before = process.TotalProcessorTime.TotalSeconds;
                var watch = Stopwatch.StartNew();
                readers[i].Read();
                double wallS = watch.Elapsed.TotalSeconds;
                process.Refresh();

                // The first two runs are warm-up.
                if (round > 1)
                {
                    wall[i].Add(wallS);
                    cpu[i].Add(process.TotalProcessorTime.TotalSeconds - before);
                }
            }
        }

        for (int i = 0; i < readers.Length; i++)
        {
            double ratio = Median([.. cpu[i].Zip(cpu[0], (one, own) => one / own)]);
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"  {readers[i].Name, -54} processor {Told(cpu[i])}, {ratio:F2} times the own loop's, wall {Told(wall[i])}, "
                        + $"{megabytes / Median(cpu[i]):F0} MB/s a core"
                )
            );
        }
    }

    private static string Told(List<double> values) =>
        string.Create(CultureInfo.InvariantCulture, $"{Median(values):F3} s ({values.Min():F3} to {values.Max():F3})");

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);

    private static RawTable OwnLoop(string path)
    {
        using LogSource source = LogSource.Open(path);
        LogHead head = LogHead.Read(source);
        LogForm form = FormFinder.Find(head, source, null);
        ColumnPlan plan = ColumnPlan.Of(form, ReadOptions.Default, path);
        var body = new LogBody(source, form, plan.Tasks(), new StampReader(form.DecimalMark, false), int.MaxValue, null);
        return body.Read(head, CancellationToken.None);
    }

    /// <summary>The same with CsvHelper. It treats quotes as plain text, so that an unclosed quote damages only its own line; a line with
    /// quotes is split again by the rules of RFC 4180, as in the own loop.</summary>
    private static RawTable LibraryTable(string path, bool hashed)
    {
        CsvReaderOptions options = new()
        {
            Separator = ',',
            HasHeader = true,
            Mode = CsvMode.NoEscape,
            TrackLineNumbers = true,
            FieldCountMismatch = CsvFieldCountHandling.Allow,
            MalformedData = CsvMalformedDataHandling.Recover,
        };
        using LogSource? source = hashed ? LogSource.Open(path) : null;
        int expected = (int)(source?.CountLines() ?? 0);
        using CsvReader reader = source is null ? CsvReader.FromFile(path, options) : CsvReader.Create(new SourceStream(source), options);
        var rows = new LibraryRows(expected);
        while (reader.Read())
        {
            rows.Take(reader);
        }

        return rows.Table(path, source?.Hash() ?? "");
    }

    private static void RequireAlike(RawTable own, RawTable library)
    {
        bool alike =
            own.Rows.Kept == library.Rows.Kept
            && own.Rows.Seen == library.Rows.Seen
            && own.Rows.Unusable == library.Rows.Unusable
            && own.Rows.Lines.SequenceEqual(library.Rows.Lines)
            && own.Rows.Counts.SequenceEqual(library.Rows.Counts)
            && own.Rows.Examples.Select(e => (e.Line, e.Column)).SequenceEqual(library.Rows.Examples.Select(e => (e.Line, e.Column)));
        for (int c = 0; c < Columns; c++)
        {
            alike = alike && own.Numbers.Dense(c).AsSpan().SequenceEqual(library.Numbers.Dense(c));
        }

        if (!alike)
        {
            throw new InvalidOperationException("the readers do not agree");
        }
    }

    /// <summary>A hover at 8 kHz; damaged: rows cut short, quotes that do not close, NUL bytes, empty cells.</summary>
    private static void MakeLog(string path, int rows, bool damaged)
    {
        var random = new Random(4);
        using var file = new StreamWriter(path);
        file.Write("time_us,acc_x_mps2,acc_y_mps2,acc_z_mps2,rate_x_radps,rate_y_radps,rate_z_radps\n");
        for (int i = 0; i < rows; i++)
        {
            double wave = Math.Sin(i * 0.05);
            string[] cells = string.Create(
                    CultureInfo.InvariantCulture,
                    $"{125L * i + random.Next(3)},{2 * wave + random.NextDouble():F3},{wave - random.NextDouble():F3},"
                        + $"{-9.81 + 3 * random.NextDouble():F3},{0.1 * wave:F4},{random.NextDouble() * 0.1:F4},{-0.05 * wave:F4}"
                )
                .Split(',');
            file.Write(string.Join(',', damaged && i > 5000 ? Damaged(cells, i) : cells));
            file.Write('\n');
        }
    }

    private static string[] Damaged(string[] cells, int row)
    {
        int column = 1 + row % (Columns - 1);
        cells[column] =
            row % 1499 == 0 ? "\"" + cells[column]
            : row % 1999 == 0 ? cells[column].Insert(1, "\0")
            : row % 499 == 0 ? ""
            : cells[column];
        return row % 997 == 0 ? cells[..(1 + row % 5)] : cells;
    }

    /// <summary>The rest of a log as a stream, which the source hashes.</summary>
    private sealed class SourceStream(LogSource source) : ForwardStream
    {
        public override int Read(Span<byte> buffer) => source.Read(buffer);
    }

    /// <summary>Rows of the library taken into the same columns as the own loop's.</summary>
    private sealed class LibraryRows(int expected)
    {
        private const int ExamplesKept = 8;
        private readonly DenseColumn[] _columns = [.. Enumerable.Range(0, Columns).Select(_ => new DenseColumn(expected))];
        private readonly GrowingCount[] _counts = [.. Enumerable.Range(0, Columns).Select(_ => new GrowingCount())];
        private readonly List<(int FromRow, int Ahead)> _lines = [];
        private readonly List<BadCell> _examples = [];
        private readonly double[] _row = new double[Columns];
        private readonly StampReader _stamps = new((byte)'.', false);
        private int _ahead;
        private int _kept;
        private int _seen;
        private int _unusable;

        internal void Take(CsvReader reader)
        {
            int line = (int)reader.LineNumber;
            if (reader.RawRecord.Contains((byte)'"'))
            {
                CsvReaderOptions options = new()
                {
                    Separator = ',',
                    HasHeader = false,
                    TrimWhitespace = true,
                    MalformedData = CsvMalformedDataHandling.Recover,
                    FieldCountMismatch = CsvFieldCountHandling.Allow,
                };
                using CsvReader quoted = CsvReader.Create(reader.RawRecord.ToArray(), options);
                if (quoted.Read())
                {
                    TakeFields(quoted, line);
                }

                return;
            }

            TakeFields(reader, line);
        }

        private void TakeFields(CsvReader reader, int line)
        {
            _seen++;
            int fields = Math.Min(reader.FieldCount, Columns);
            int bad = 0;
            for (int column = 0; column < fields; column++)
            {
                bad += TakeCell(reader, column, line) ? 0 : 1;
            }

            _row.AsSpan(fields).Fill(double.NaN);
            if (fields < 2 || double.IsNaN(_row[0]))
            {
                _unusable++;
                if (bad == 0)
                {
                    Note(line, null, reader.RawRecord, fields < 2 ? "has too few fields" : "has no time");
                }

                return;
            }

            _unusable += bad > 0 ? 1 : 0;
            Keep(line);
        }

        /// <summary>False where the cell holds text that is not a number.</summary>
        private bool TakeCell(CsvReader reader, int column, int line)
        {
            ReadOnlySpan<byte> cell = reader.GetSpan(column);
            if (column == 0)
            {
                int at = 0;
                if (_stamps.TryRead(cell, ref at, cell.Length, out _row[0]) && at == cell.Length)
                {
                    return true;
                }
            }
            else if (reader.TryParse(column, out _row[column]))
            {
                return true;
            }

            _row[column] = double.NaN;
            if (NumberText.IsMissing(NumberText.Trim(cell)))
            {
                return true;
            }

            Note(line, column + 1, cell, "is not a number");
            return false;
        }

        private void Keep(int line)
        {
            bool any = false;
            for (int column = 1; column < Columns; column++)
            {
                any |= !double.IsNaN(_row[column]);
            }

            if (!any)
            {
                return;
            }

            for (int column = 0; column < Columns; column++)
            {
                _columns[column].Add(_row[column]);
                _counts[column].Take(_row[column]);
            }

            if (line - _kept != _ahead)
            {
                _ahead = line - _kept;
                _lines.Add((_kept, _ahead));
            }

            _kept++;
        }

        private void Note(int line, int? column, ReadOnlySpan<byte> text, string problem)
        {
            if (_examples.Count < ExamplesKept)
            {
                _examples.Add(new(line, column, Encoding.Latin1.GetString(text), problem));
            }
        }

        internal RawTable Table(string path, string hash) =>
            new(
                new()
                {
                    Path = path,
                    Form = null!,
                    ContentHash = hash,
                    Kept = _kept,
                    Seen = _seen,
                    Unusable = _unusable,
                    RepeatedHeaders = 0,
                    CutLastLine = false,
                    Examples = _examples,
                    Labels = [],
                    Counts = [.. _counts.Select(c => c.ToCount())],
                    Lines = _lines,
                },
                new([.. _columns.Select(c => c.TakeArray())], new SparseColumn?[Columns])
            );
    }
}
