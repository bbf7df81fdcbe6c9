using VibeCheck.Core.Airframes;

namespace VibeCheck.FlightMaker.Damage;

/// <summary>What a damage may reach: the sheets of one flight, the flights it may be mixed up with, and what the job says of it.</summary>
public sealed class DamageScene
{
    /// <summary>The flight that is damaged.</summary>
    public required FlightSheets Flight { get; set; }

    /// <summary>The flight on the other side of the job, not to be changed.</summary>
    public required FlightSheets OtherSide { get; init; }

    /// <summary>A flight of another aircraft with as many motors, or the other side where there is none; not to be changed.</summary>
    public required FlightSheets OtherJob { get; init; }

    /// <summary>The airframe, which a damage of the job may replace.</summary>
    public required Airframe Airframe { get; set; }

    public required double Severity { get; init; }

    public required Random Random { get; init; }

    /// <summary>What the job says of the flight: ambient temperature, °C, and clock offset, s; null for nothing.</summary>
    public double? AmbientC { get; set; }

    public double? ClockOffsetS { get; set; }

    /// <summary>The job is written as two stages with their right dates, the later one first.</summary>
    public bool StagesInWrongOrder { get; set; }

    public LogSheet Imu => Flight.Imu;

    /// <summary>One of some things, each as likely.</summary>
    public T Pick<T>(IReadOnlyList<T> of)
    {
        ArgumentNullException.ThrowIfNull(of);
        return of[Random.Next(of.Count)];
    }

    public bool Chance(double share) => Random.NextDouble() < share;

    public double Uniform(double low, double high) => low + (high - low) * Random.NextDouble();

    public double Normal() => SpeedTrace.Gauss(Random);

    /// <summary>Changes each of some columns.</summary>
    public static void Each(IEnumerable<LogColumn> columns, Func<double, double> change)
    {
        ArgumentNullException.ThrowIfNull(columns);
        foreach (LogColumn column in columns)
        {
            column.Map(change);
        }
    }

    /// <summary>Rows that lie in stretches of some length that cover some share of the record.</summary>
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

    /// <summary>The moment at a share of the record, s.</summary>
    public static double MomentS(LogSheet sheet, double share)
    {
        ArgumentNullException.ThrowIfNull(sheet);
        double first = sheet.Time.Amount(sheet.Time.Values[0]),
            last = sheet.Time.Amount(sheet.Time.Values[^1]);
        return first + share * (last - first);
    }
}
