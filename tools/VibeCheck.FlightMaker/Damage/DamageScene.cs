using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker.Damage;

/// <summary>The data that a damage may change: the sheets of one flight, other flights to mix it up with, and the job's statements about
/// it.</summary>
public sealed class DamageScene
{
    /// <summary>The flight that is damaged.</summary>
    public required FlightSheets Flight { get; set; }

    /// <summary>The flight on the other side of the job; must not be changed.</summary>
    public required FlightSheets OtherSide { get; init; }

    /// <summary>A flight of another aircraft with the same number of motors, or the other side where there is none; must not be
    /// changed.</summary>
    public required FlightSheets OtherJob { get; init; }

    /// <summary>The airframe, which a damage of the job may replace.</summary>
    public required Airframe Airframe { get; set; }

    public required double Severity { get; init; }

    public required Random Random { get; init; }

    /// <summary>Ambient temperature, °C, and clock offset, s, that the job gives for the flight; null where it gives none.</summary>
    public double? AmbientC { get; set; }

    public double? ClockOffsetS { get; set; }

    /// <summary>Whether the job is written as two stages with correct dates but the later one first.</summary>
    public bool StagesInWrongOrder { get; set; }

    public LogSheet Imu => Flight.Imu;

    /// <summary>Picks an element at random, each with equal probability.</summary>
    public T Pick<T>(IReadOnlyList<T> of)
    {
        ArgumentNullException.ThrowIfNull(of);
        return of[Random.Next(of.Count)];
    }

    public bool Chance(double share) => Random.NextDouble() < share;

    public double Uniform(double low, double high) => low + (high - low) * Random.NextDouble();

    public double Normal() => SpeedTrace.Gauss(Random);

    /// <summary>Changes every value of the given columns.</summary>
    public static void Each(IEnumerable<LogColumn> columns, Func<double, double> change)
    {
        ArgumentNullException.ThrowIfNull(columns);
        foreach (LogColumn column in columns)
        {
            column.Map(change);
        }
    }

    /// <summary>Marks the rows within random intervals of a given range of lengths that together cover a share of the record.</summary>
    public bool[] Stretches(LogSheet sheet, double share, double fromS, double toS)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        double[] times = sheet.TimesS();
        double total = times[^1] - times[0],
            covered = 0;
        var within = new bool[times.Length];
        for (int tries = 0; covered < share * total && tries < 10_000; tries++)
        {
            double length = Math.Min(Uniform(fromS, toS), share * total - covered + 0.05),
                start = times[0] + Uniform(0, total - length);
            for (int i = sheet.RowAt(start); i < times.Length && times[i] < start + length; i++)
            {
                covered += within[i] ? 0 : total / times.Length;
                within[i] = true;
            }
        }

        return within;
    }

    /// <summary>Time at a fraction of the record, s.</summary>
    public static double MomentS(LogSheet sheet, double share)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        double first = sheet.Time.Amount(sheet.Time.Values[0]),
            last = sheet.Time.Amount(sheet.Time.Values[^1]);
        return first + share * (last - first);
    }
}
