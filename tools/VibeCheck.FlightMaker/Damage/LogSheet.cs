namespace VibeCheck.FlightMaker.Damage;

/// <summary>Rows and columns of one log file before they are written as text.</summary>
public sealed class LogSheet(IReadOnlyList<LogColumn> columns)
{
    private readonly List<LogColumn> _columns = [.. columns];

    public IReadOnlyList<LogColumn> Columns => _columns;

    public int Rows => _columns[0].Values.Length;

    public LogColumn Time => Column(LogRole.Time);

    public IReadOnlyList<LogColumn> Acceleration => [Column(LogRole.AccX), Column(LogRole.AccY), Column(LogRole.AccZ)];

    public IReadOnlyList<LogColumn> Rates => [Column(LogRole.RateX), Column(LogRole.RateY), Column(LogRole.RateZ)];

    /// <summary>Timestamps, s of the logger's clock.</summary>
    public double[] TimesS() => Array.ConvertAll(Time.Values, Time.Amount);

    public LogColumn Column(LogRole role, int motor = -1) => _columns.First(c => c.Role == role && c.Motor == motor);

    /// <summary>The columns of a quantity, one for each motor that has it.</summary>
    public IReadOnlyList<LogColumn> All(LogRole role) => [.. _columns.Where(c => c.Role == role)];

    public void Remove(LogColumn column) => _columns.Remove(column);

    /// <summary>A deep copy.</summary>
    public LogSheet Copy() => new([.. _columns.Select(c => c with { Values = [.. c.Values] })]);

    /// <summary>Keeps the rows in the given order; a row may occur several times or not at all.</summary>
    public void Take(IReadOnlyList<int> rows)
    {
        foreach (LogColumn column in _columns)
        {
            double[] old = column.Values,
                values = new double[rows.Count];
            for (int i = 0; i < values.Length; i++)
            {
                values[i] = old[rows[i]];
            }

            column.Values = values;
        }
    }

    /// <summary>Keeps the rows in the given order, but leaves the timestamps of the first rows as they were.</summary>
    public void TakeButStamps(IReadOnlyList<int> rows)
    {
        double[] stamps = Time.Values[..rows.Count];
        Take(rows);
        Time.Values = stamps;
    }

    /// <summary>Replaces the timestamps, s.</summary>
    public void Stamp(Func<int, double, double> timeS)
    {
        LogColumn time = Time;
        time.Map((v, i) => time.Written(timeS(i, time.Amount(v))));
    }

    /// <summary>Index of the first row at or after a time; the number of rows where there is none.</summary>
    public int RowAt(double timeS)
    {
        int at = Array.BinarySearch(Time.Values, Time.Written(timeS));
        return at < 0 ? ~at : at;
    }
}
