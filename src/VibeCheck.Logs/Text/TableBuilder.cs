using System.Runtime.CompilerServices;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Text;

/// <summary>Collects the rows of a log into columns. Rows that cannot be used are counted but not stored.</summary>
internal sealed class TableBuilder
{
    private readonly string _path;
    private readonly RowParser _row;
    private readonly BadCellExamples _badCells;
    private readonly int _mostRows;
    private readonly ColumnTask[] _tasks;
    private readonly int _stampColumn;

    // Columns that store every row, with their index: most of the time per row is spent here.
    private readonly (int Column, DenseColumn Values, GrowingCount Count)[] _dense;
    private readonly int[] _sparse;
    private readonly DenseColumn?[] _allDense;
    private readonly GrowingSparseColumn?[] _allSparse;
    private readonly GrowingCount[] _counts;

    // The difference between line and row, at each row where it changes.
    private readonly List<(int FromRow, int Ahead)> _lines = [];
    private int _ahead;
    private int _kept;
    private int _seen;
    private int _unusable;
    private bool _cutLastLine;

    /// <param name="path">Name of the file, for faults.</param>
    /// <param name="row">Holds the numbers of the row to add.</param>
    /// <param name="tasks">What to do with each column, up to the last one that is needed.</param>
    /// <param name="badCells">Receives the rows that cannot be used.</param>
    /// <param name="expectedRows">Expected number of rows; 0 when unknown.</param>
    /// <param name="mostRows">Largest number of rows; a file with more is refused.</param>
    internal TableBuilder(string path, RowParser row, ColumnTask[] tasks, BadCellExamples badCells, int expectedRows, int mostRows)
    {
        (_path, _row, _tasks, _badCells, _mostRows) = (path, row, tasks, badCells, mostRows);
        _allDense = [.. tasks.Select(t => t is ColumnTask.Dense or ColumnTask.Stamp ? new DenseColumn(expectedRows) : null)];
        _allSparse = [.. tasks.Select(t => t is ColumnTask.Sparse or ColumnTask.Label ? new GrowingSparseColumn(expectedRows) : null)];
        _counts = [.. tasks.Select(_ => new GrowingCount())];
        _stampColumn = Array.IndexOf(tasks, ColumnTask.Stamp);
        _dense = [.. Enumerable.Range(0, tasks.Length).Where(c => _allDense[c] is not null).Select(c => (c, _allDense[c]!, _counts[c]))];
        _sparse = [.. Enumerable.Range(0, tasks.Length).Where(c => _allSparse[c] is not null)];
    }

    /// <summary>The table. It takes over the columns, so call this once, after the last row.</summary>
    /// <param name="form">Form of the log.</param>
    /// <param name="contentHash">Hash of the bytes of the file.</param>
    /// <param name="repeatedHeaders">How often the header is repeated within the data.</param>
    internal RawTable Build(LogForm form, string contentHash, int repeatedHeaders) =>
        new(
            new()
            {
                Path = _path,
                Form = form,
                ContentHash = contentHash,
                Kept = _kept,
                Seen = _seen,
                Unusable = _unusable,
                RepeatedHeaders = repeatedHeaders,
                CutLastLine = _cutLastLine,
                Examples = [.. _badCells.All],
                Labels = _row.Labels,
                Counts = [.. _counts.Select(c => c.ToCount())],
                Lines = [.. _lines],
            },
            new([.. _allDense.Select(c => c?.TakeArray())], [.. _allSparse.Select(c => c?.TakeColumn())])
        );

    /// <summary>Adds the row that the parser holds, or counts it as unusable.</summary>
    /// <param name="line">Its text, for messages.</param>
    /// <param name="fields">How many of the needed cells it has.</param>
    /// <param name="cut">Whether the file ends within the line.</param>
    /// <exception cref="InputFaultException">There are more rows than are allowed.</exception>
    internal void Add(ReadOnlySpan<byte> line, int fields, bool cut)
    {
        if (cut && fields < _tasks.Length)
        {
            _cutLastLine = true;
            return;
        }

        if (++_seen > _mostRows)
        {
            throw TooManyRows();
        }

        if (fields < _tasks.Length)
        {
            _row.Values.AsSpan(fields).Fill(double.NaN);
            if (fields < 2)
            {
                Refuse(line, "has too few fields");
                return;
            }
        }

        if (IsUsable(line))
        {
            Keep();
        }
    }

    private InputFaultException TooManyRows() =>
        new(new InputFault(_path, _row.Line, null, $"there are more than {_mostRows} rows", "Cut the log to the flight and read that."));

    /// <summary>Whether any number of the row can be used. A row with a bad cell counts as unusable, but its good cells are kept.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private bool IsUsable(ReadOnlySpan<byte> line)
    {
        if (_stampColumn >= 0 && double.IsNaN(_row.Values[_stampColumn]))
        {
            Refuse(line, "has no time");
            return false;
        }

        if (_row.HasExcessCells)
        {
            _unusable++;
            return false;
        }

        if (!HasValue())
        {
            Refuse(line, "has no value that is used");
            return false;
        }

        _unusable += _row.BadCells > 0 ? 1 : 0;
        return true;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Keep()
    {
        double[] row = _row.Values;
        foreach ((int column, DenseColumn values, GrowingCount count) in _dense)
        {
            double value = row[column];
            values.Add(value);
            count.Take(value);
        }

        foreach (int column in _sparse)
        {
            if (!double.IsNaN(row[column]))
            {
                _allSparse[column]!.Add(_kept, row[column]);
                _counts[column].Take(row[column]);
            }
        }

        if (_row.Line - _kept != _ahead)
        {
            _ahead = _row.Line - _kept;
            _lines.Add((_kept, _ahead));
        }

        _kept++;
    }

    private bool HasValue()
    {
        double[] row = _row.Values;
        foreach ((int column, _, _) in _dense)
        {
            if (column != _stampColumn && !double.IsNaN(row[column]))
            {
                return true;
            }
        }

        foreach (int column in _sparse)
        {
            if (_tasks[column] == ColumnTask.Sparse && !double.IsNaN(row[column]))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Counts the row as unusable. Where one of its cells is already noted, that example is more useful than one of the
    /// row.</summary>
    private void Refuse(ReadOnlySpan<byte> line, string problem)
    {
        _unusable++;
        if (_row.BadCells == 0)
        {
            _badCells.Add(_row.Line, null, line, problem);
        }
    }
}
