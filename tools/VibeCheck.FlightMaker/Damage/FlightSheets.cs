using System.Globalization;
using VibeCheck.Core.Tracks;

namespace VibeCheck.FlightMaker.Damage;

/// <summary>One flight as it will be written to files: an IMU sheet and an ESC sheet, or one sheet with both.</summary>
public sealed class FlightSheets
{
    private const double GravityMps2 = 9.80665;

    /// <summary>IMU rows; in a single file also the ESC columns, with empty cells where no report came.</summary>
    public required LogSheet Imu { get; set; }

    /// <summary>ESC rows; null where a single file holds both, or where the file is left out.</summary>
    public LogSheet? Esc { get; set; }

    public required LogFormRecipe Form { get; init; }

    /// <summary>Number of motors of the airframe.</summary>
    public required int Motors { get; init; }

    /// <summary>Whether the ESC columns are in the IMU's file.</summary>
    public bool OneFile => Form.Layout is "wide" or "held";

    /// <summary>Makes the sheets of a flight.</summary>
    /// <param name="flight">The flight.</param>
    /// <param name="form">Log form of its recorder.</param>
    /// <param name="jitterS">Standard deviation of the jitter of the IMU's timestamps, s.</param>
    public static FlightSheets Of(SimulatedFlight flight, LogFormRecipe form, double jitterS)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ArgumentNullException.ThrowIfNull(form);
        LogSheet imu = ImuOf(flight, form, jitterS),
            esc = EscOf(flight, form);
        FlightSheets sheets = new()
        {
            Imu = imu,
            Esc = esc,
            Form = form,
            Motors = flight.Flight.Motors.Count,
        };
        if (sheets.OneFile)
        {
            sheets.Imu = Joined(imu, esc);
            sheets.Esc = null;
        }

        return sheets;
    }

    public FlightSheets Copy() =>
        new()
        {
            Imu = Imu.Copy(),
            Esc = Esc?.Copy(),
            Form = Form,
            Motors = Motors,
        };

    /// <summary>Changes the ESC reports only, whichever file they are in.</summary>
    public void ChangeEsc(Action<LogSheet> change)
    {
        ArgumentNullException.ThrowIfNull(change);
        if (!OneFile)
        {
            change(Esc!);
            return;
        }

        (LogSheet imu, LogSheet esc) = Parted(Imu);
        change(esc);
        Imu = Joined(imu, esc);
    }

    /// <summary>Changes the IMU rows only; ESC reports keep their times.</summary>
    public void ChangeImu(Action<LogSheet> change)
    {
        ArgumentNullException.ThrowIfNull(change);
        if (!OneFile)
        {
            change(Imu);
            return;
        }

        (LogSheet imu, LogSheet esc) = Parted(Imu);
        change(imu);
        Imu = Joined(imu, esc);
    }

    /// <summary>A copy of the ESC reports.</summary>
    public LogSheet EscReports() => OneFile ? Parted(Imu).Esc : Esc!.Copy();

    private static LogSheet ImuOf(SimulatedFlight flight, LogFormRecipe form, double jitterS)
    {
        ImuTrack imu = flight.Flight.Imu;
        var random = new Random(flight.Recipe.Seed ^ 0x717);
        var times = new double[imu.Count];
        foreach (ContiguousSegment block in imu.Blocks)
        {
            for (int i = block.FirstSample; i < block.FirstSample + block.SampleCount; i++)
            {
                times[i] = block.TimeOf(i) + jitterS * SpeedTrace.Gauss(random);
            }
        }

        int accDecimals = form.AccPerMps2 < 0.5 ? 4 : 3;
        return new LogSheet([
            TimeColumn(times, form),
            .. imu.Acceleration.Select((a, i) => Column(form.Acc[i], LogRole.AccX + i, -1, a, form.AccPerMps2, 0, accDecimals)),
            .. new[] { imu.RateXRadps!, imu.RateYRadps!, imu.RateZRadps! }.Select(
                (a, i) => Column(form.Rates[i], LogRole.RateX + i, -1, a, form.RatePerRadps, 0, form.RatePerRadps > 10 ? 2 : 4)
            ),
        ]);
    }

    private static LogSheet EscOf(SimulatedFlight flight, LogFormRecipe form)
    {
        IReadOnlyList<MotorTrack> motors = flight.Flight.Motors;
        List<LogColumn> columns = [TimeColumn(motors[0].Rpm!.TimeS, form)];
        for (int m = 0; m < motors.Count; m++)
        {
            int motor = m;
            void Add(string pattern, LogRole role, Series series, double factor, double offset, int decimals)
            {
                string header = string.Format(CultureInfo.InvariantCulture, pattern, motors[motor].MotorId, motor + 1, motor);
                columns.Add(Column(header, role, motor, series.Values, factor, offset, decimals));
            }

            double poles = form.ElectricalSpeed ? flight.Recipe.Airframe.Motors[m].PolePairs!.Value : 1;
            Add(form.Rpm, LogRole.Rpm, motors[m].Rpm!, form.SpeedPerRpm * poles, 0, form.SpeedPerRpm < 0.5 ? 3 : 1);
            Add(form.Command, LogRole.Command, motors[m].Command!, form.CommandFactor, form.CommandOffset, form.CommandFactor < 10 ? 3 : 1);
            Add(form.Current, LogRole.Current, motors[m].CurrentA!, form.CurrentFactor, 0, 2);
            Add(form.MotorTemp, LogRole.MotorTemp, motors[m].MotorTempC!, form.TempFactor, form.TempOffset, 1);
            Add(form.EscTemp, LogRole.EscTemp, motors[m].EscTempC!, form.TempFactor, form.TempOffset, 1);
        }

        return new LogSheet(columns);
    }

    private static LogColumn TimeColumn(double[] timesS, LogFormRecipe form)
    {
        (double factor, int decimals) = form.Time switch
        {
            "ms" => (1e3, 3),
            "us" => (1e6, 0),
            _ => (1.0, 6),
        };
        string header = form.TimeHeader.Length > 0 ? form.TimeHeader : "time_" + form.Time;
        return Column(header, LogRole.Time, -1, timesS, factor, form.ClockStartS * factor, decimals);
    }

    private static LogColumn Column(string header, LogRole role, int motor, double[] amounts, double factor, double offset, int decimals) =>
        new(header, role, motor)
        {
            Factor = factor,
            Offset = offset,
            Decimals = decimals,
            Values = Array.ConvertAll(amounts, a => factor * a + offset),
        };

    /// <summary>Joins both into one sheet: each report goes into the first IMU row at or after its time.</summary>
    private static LogSheet Joined(LogSheet imu, LogSheet esc)
    {
        double[] rows = imu.TimesS(),
            reports = esc.TimesS();
        int[] rowOf = new int[reports.Length];
        for (int i = 0, row = 0; i < reports.Length; i++)
        {
            for (row = i > 0 && reports[i] < reports[i - 1] ? 0 : row; row < rows.Length && rows[row] < reports[i]; row++) { }

            rowOf[i] = row;
        }

        List<LogColumn> columns = [.. imu.Columns];
        foreach (LogColumn column in esc.Columns.Where(c => c.Role != LogRole.Time))
        {
            var values = new double[rows.Length];
            Array.Fill(values, double.NaN);
            for (int i = 0; i < reports.Length; i++)
            {
                if (rowOf[i] < values.Length)
                {
                    values[rowOf[i]] = column.Values[i];
                }
            }

            columns.Add(column with { Values = values });
        }

        return new LogSheet(columns);
    }

    private static (LogSheet Imu, LogSheet Esc) Parted(LogSheet both)
    {
        LogColumn[] telemetry = [.. both.Columns.Where(c => c.IsTelemetry)];
        int[] rows = [.. Enumerable.Range(0, both.Rows).Where(i => telemetry.Any(c => !double.IsNaN(c.Values[i])))];
        LogSheet esc = new([both.Time with { Values = [.. both.Time.Values] }, .. telemetry.Select(c => c with { })]);
        esc.Take(rows);
        return (new LogSheet([.. both.Columns.Where(c => !c.IsTelemetry)]), esc);
    }

    /// <summary>Standard gravity in the unit of the acceleration columns.</summary>
    public double GravityWritten => GravityMps2 * Form.AccPerMps2;
}
