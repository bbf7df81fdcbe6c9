using System.Globalization;
using System.IO.Compression;
using System.Text;
using VibeCheck.Core.Tracks;

namespace VibeCheck.FlightMaker;

/// <summary>Writes one simulated flight in the formats of different recorders.</summary>
public sealed class LogForms
{
    private static readonly DateTime Start = new(2026, 5, 1, 12, 0, 0, DateTimeKind.Utc);

    private readonly SimulatedFlight _flight;
    private readonly LogFormRecipe _form;

    private LogForms(SimulatedFlight flight, LogFormRecipe form) => (_flight, _form) = (flight, form);

    /// <summary>The formats that the importer must read.</summary>
    public static IReadOnlyList<LogFormRecipe> All { get; } =
    [
        new("comma, s, m/s²"),
        new("semicolon, decimal comma") { Separator = ';', DecimalComma = true },
        new("tab, ms, g")
        {
            Separator = '\t',
            Time = "ms",
            Acc = ["acc x [g]", "acc y [g]", "acc z [g]"],
            AccPerMps2 = 1 / 9.80665,
            Decimals = 6,
        },
        new("pipe, µs, mg")
        {
            Separator = '|',
            Time = "us",
            TimeHeader = "Time (µs)",
            Acc = ["ax (mg)", "ay (mg)", "az (mg)"],
            AccPerMps2 = 1000 / 9.80665,
        },
        new("spaces")
        {
            Separator = ' ',
            Time = "ms",
            TimeHeader = "t_ms",
        },
        new("tab, decimal comma, ns since 1970")
        {
            Separator = '\t',
            DecimalComma = true,
            Time = "ns",
            ClockStartS = 1_777_636_800,
        },
        new("ISO date-times, deg/s")
        {
            Time = "iso",
            TimeHeader = "timestamp",
            Rates = ["GyroX [deg/s]", "GyroY [deg/s]", "GyroZ [deg/s]"],
            RatePerRadps = 180 / Math.PI,
        },
        new("clock times, mdeg/s")
        {
            Time = "clock",
            TimeHeader = "Time",
            Rates = ["gyro_x_mdps", "gyro_y_mdps", "gyro_z_mdps"],
            RatePerRadps = 180_000 / Math.PI,
        },
        new("byte order mark, CRLF, quoted headers")
        {
            Encoding = "utf-8-bom",
            LineEnd = "\r\n",
            QuoteHeaders = true,
        },
        new("UTF-16")
        {
            Encoding = "utf-16",
            LineEnd = "\r\n",
            Separator = '\t',
        },
        new("UTF-16 big endian, decimal comma")
        {
            Encoding = "utf-16be",
            Separator = ';',
            DecimalComma = true,
        },
        new("Latin-1 with degree signs")
        {
            Encoding = "latin1",
            MotorTemp = "{0} motor [°C]",
            EscTemp = "{0} ESC [°C]",
            Acc = ["a x [m/s²]", "a y [m/s²]", "a z [m/s²]"],
        },
        new("comments before, units row below")
        {
            Preamble = ["# made-up recorder 7", "# rows: many, all good", ""],
            Time = "ms",
            TimeHeader = "Time",
            Acc = ["AccX", "AccY", "AccZ"],
            AccPerMps2 = 1 / 9.80665,
            Rates = ["GyrX", "GyrY", "GyrZ"],
            RatePerRadps = 180 / Math.PI,
            UnitsRow = "ms,g,g,g,deg/s,deg/s,deg/s",
            Decimals = 6,
        },
        new("metadata lines, header again every 500 rows")
        {
            Preamble = ["recorder,made up", "firmware,1.2.3", "started,2026-05-01"],
            HeaderEvery = 500,
        },
        new("trailing separators, packed")
        {
            TrailingSeparator = true,
            Packed = true,
            Time = "us",
        },
        new("two hundred columns of no interest") { Extras = 200 },
        new("all quoted") { QuoteAll = true },
        new("wide, empty cells")
        {
            Layout = "wide",
            Separator = ';',
            Time = "ms",
        },
        new("wide, values held") { Layout = "held" },
        new("long, ids as text") { Layout = "long" },
        new("long, numbers from 0")
        {
            Layout = "long0",
            Rpm = "speed_hz",
            SpeedPerRpm = 1.0 / 60,
        },
        new("eRPM, pulse width, mA, °F")
        {
            Rpm = "esc{1}_erpm",
            ElectricalSpeed = true,
            Command = "esc{1}_pwm_us",
            CommandFactor = 1000,
            CommandOffset = 1000,
            Current = "esc{1}_current_ma",
            CurrentFactor = 1000,
            MotorTemp = "esc{1}_motor_temp_f",
            EscTemp = "esc{1}_temp_f",
            TempFactor = 1.8,
            TempOffset = 32,
        },
        new("krpm, 0..1, kelvin, numbered from 0")
        {
            Rpm = "motor{2} speed (krpm)",
            SpeedPerRpm = 0.001,
            Command = "motor{2}_throttle",
            CommandFactor = 1,
            MotorTemp = "motor{2} temp [K]",
            EscTemp = "esc{2} temp [K]",
            TempOffset = 273.15,
            Current = "esc{2} current [A]",
            Decimals = 8,
        },
        new("32-bit µs counter that wraps")
        {
            Time = "us",
            ClockStartS = 4284,
            WrapAt = 4294967296,
            Decimals = 4,
        },
        new("16-bit ms counter that wraps")
        {
            Time = "ms",
            ClockStartS = 50,
            WrapAt = 65536,
        },
        new("last line cut off") { CutLastLine = true },
        new("units in data only")
        {
            TimeHeader = "t",
            Acc = ["ax", "ay", "az"],
            AccPerMps2 = 1 / 9.80665,
            Rates = ["gx", "gy", "gz"],
            Rpm = "rpm_{1}",
            Command = "thr_{1}",
            Current = "esc_current_{1}",
            MotorTemp = "motor_temp_{1}",
            EscTemp = "esc_temp_{1}",
            Decimals = 6,
        },
        new("carriage returns only") { LineEnd = "\r" },
    ];

    /// <summary>Writes the flight into a folder; returns the IMU file and the ESC file (null where a single file holds both).</summary>
    public static (string Imu, string? Esc) Write(SimulatedFlight flight, LogFormRecipe form, string folder)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ArgumentNullException.ThrowIfNull(form);
        var forms = new LogForms(flight, form);
        string end = form.Packed ? ".csv.gz" : ".csv";
        string imu = Path.Combine(folder, "imu" + end),
            esc = Path.Combine(folder, "esc" + end);
        Directory.CreateDirectory(folder);
        bool one = form.Layout is "wide" or "held";
        forms.Save(imu, forms.Imu(one));
        if (!one)
        {
            forms.Save(esc, form.Layout.StartsWith("long", StringComparison.Ordinal) ? forms.EscLong() : forms.EscWide());
        }

        return (imu, one ? null : esc);
    }

    private IReadOnlyList<MotorTrack> Motors => _flight.Flight.Motors;

    private List<List<string>> Imu(bool withEsc)
    {
        ImuTrack imu = _flight.Flight.Imu;
        List<string> header = [TimeHeader];
        header.AddRange(Enumerable.Range(0, _form.Extras / 2).Select(i => $"debug[{i}]"));
        header.AddRange([.. _form.Acc, .. _form.Rates]);
        header.AddRange(withEsc ? MotorHeaders() : []);
        header.AddRange(Enumerable.Range(0, _form.Extras / 2).Select(i => $"spare {i}"));
        List<List<string>> rows = [header];
        double[] reports = Motors[0].Rpm!.TimeS;
        int next = 0;
        var random = new Random(_flight.Recipe.Seed ^ 0x717);
        foreach (ContiguousSegment block in imu.Blocks)
        {
            for (int i = block.FirstSample; i < block.FirstSample + block.SampleCount; i++)
            {
                double t = block.TimeOf(i);
                List<string> row =
                [
                    Stamp(_form.JitterS > 0 ? t + _form.JitterS * SpeedTrace.Gauss(random) : t),
                    .. Enumerable.Repeat("7", _form.Extras / 2),
                ];
                foreach (double[] axis in imu.Acceleration)
                {
                    row.Add(Number(axis[i] * _form.AccPerMps2));
                }

                foreach (double[] axis in (double[][])[imu.RateXRadps!, imu.RateYRadps!, imu.RateZRadps!])
                {
                    row.Add(Number(axis[i] * _form.RatePerRadps));
                }

                if (withEsc)
                {
                    bool report = next < reports.Length && reports[next] <= t;
                    row.AddRange(
                        report || (_form.Layout == "held" && next > 0)
                            ? MotorCells(report ? next : next - 1)
                            : Enumerable.Repeat("", MotorHeaders().Count)
                    );
                    next += report ? 1 : 0;
                }

                row.AddRange(Enumerable.Repeat("ok", _form.Extras / 2));
                rows.Add(row);
            }
        }

        return rows;
    }

    private List<List<string>> EscWide()
    {
        List<List<string>> rows =
        [
            [TimeHeader, .. MotorHeaders()],
        ];
        double[] reports = Motors[0].Rpm!.TimeS;
        for (int i = 0; i < reports.Length; i++)
        {
            rows.Add([Stamp(reports[i]), .. MotorCells(i)]);
        }

        return rows;
    }

    private List<List<string>> EscLong()
    {
        bool numbers = _form.Layout == "long0";
        string speed = _form.Rpm.Contains('{', StringComparison.Ordinal) ? "rpm" : _form.Rpm;
        List<List<string>> rows =
        [
            [TimeHeader, numbers ? "esc_id" : "motor", speed, "command_pct", "current_a", "motor_temp_c", "esc_temp_c"],
        ];
        double[] reports = Motors[0].Rpm!.TimeS;
        for (int i = 0; i < reports.Length; i++)
        {
            for (int m = 0; m < Motors.Count; m++)
            {
                rows.Add([Stamp(reports[i]), numbers ? m.ToString(CultureInfo.InvariantCulture) : Motors[m].MotorId, .. Cells(m, i)]);
            }
        }

        return rows;
    }

    private List<string> MotorHeaders() =>
        [
            .. Motors.SelectMany(
                (motor, m) =>
                    ((string[])[_form.Rpm, _form.Command, _form.Current, _form.MotorTemp, _form.EscTemp]).Select(h =>
                        string.Format(CultureInfo.InvariantCulture, h, motor.MotorId, m + 1, m)
                    )
            ),
        ];

    private IEnumerable<string> MotorCells(int report) => Enumerable.Range(0, Motors.Count).SelectMany(m => Cells(m, report));

    private IEnumerable<string> Cells(int m, int report)
    {
        MotorTrack motor = Motors[m];
        double poles = _form.ElectricalSpeed ? _flight.Recipe.Airframe.Motors[m].PolePairs!.Value : 1;
        yield return Number(motor.Rpm!.Values[report] * _form.SpeedPerRpm * poles);
        yield return Number(motor.Command!.Values[report] * _form.CommandFactor + _form.CommandOffset);
        yield return Number(motor.CurrentA!.Values[report] * _form.CurrentFactor);
        yield return Number(motor.MotorTempC!.Values[report] * _form.TempFactor + _form.TempOffset);
        yield return Number(motor.EscTempC!.Values[report] * _form.TempFactor + _form.TempOffset);
    }

    private string TimeHeader =>
        _form.TimeHeader.Length > 0 ? _form.TimeHeader
        : _form.Time is "iso" or "clock" ? "time"
        : "time_" + _form.Time;

    private string Stamp(double t)
    {
        double clock = t + _form.ClockStartS;
        if (_form.Time is "iso" or "clock")
        {
            DateTime at = Start.AddTicks((long)Math.Round(clock * TimeSpan.TicksPerSecond));
            return at.ToString(_form.Time == "iso" ? "yyyy-MM-ddTHH:mm:ss.ffffffZ" : "HH:mm:ss.ffffff", CultureInfo.InvariantCulture);
        }

        (decimal factor, int decimals) = _form.Time switch
        {
            "ms" => (1e3m, 3),
            "us" => (1e6m, 0),
            "ns" => (1e9m, 0),
            _ => (1m, 6),
        };
        decimal stamp = Math.Round((decimal)clock * factor, decimals);
        stamp = _form.WrapAt > 0 ? stamp % (decimal)_form.WrapAt : stamp;
        return Point(stamp.ToString("F" + decimals, CultureInfo.InvariantCulture));
    }

    private string Number(double value) => Point(value.ToString("0." + new string('#', _form.Decimals), CultureInfo.InvariantCulture));

    private string Point(string number) => _form.DecimalComma ? number.Replace('.', ',') : number;

    private void Save(string path, List<List<string>> rows)
    {
        var text = new StringBuilder();
        foreach (string line in _form.Preamble)
        {
            text.Append(line).Append(_form.LineEnd);
        }

        string header = Line(rows[0], _form.QuoteHeaders || _form.QuoteAll);
        text.Append(header);
        if (_form.UnitsRow is not null && Path.GetFileName(path).StartsWith("imu", StringComparison.Ordinal))
        {
            text.Append(_form.UnitsRow).Append(_form.LineEnd);
        }

        for (int i = 1; i < rows.Count; i++)
        {
            if (_form.HeaderEvery > 0 && i % _form.HeaderEvery == 0)
            {
                text.Append(header);
            }

            text.Append(Line(rows[i], _form.QuoteAll));
        }

        if (_form.CutLastLine)
        {
            text.Length -= rows[^1][^1].Length + rows[^1][^2].Length + 3;
        }

        using Stream file = File.Create(path);
        using Stream target = _form.Packed ? new GZipStream(file, CompressionLevel.Fastest) : file;
        Encoding encoding = _form.Encoding switch
        {
            "utf-8-bom" => new UTF8Encoding(true),
            "utf-16" => new UnicodeEncoding(false, true),
            "utf-16be" => new UnicodeEncoding(true, true),
            "latin1" => System.Text.Encoding.Latin1,
            _ => new UTF8Encoding(false),
        };
        target.Write(encoding.GetPreamble());
        target.Write(encoding.GetBytes(text.ToString()));
    }

    private string Line(List<string> cells, bool quoted)
    {
        IEnumerable<string> shown = quoted ? cells.Select(c => "\"" + c.Replace("\"", "\"\"", StringComparison.Ordinal) + "\"") : cells;
        if (_form.Separator == ' ')
        {
            shown = cells.Select(c => c.Length == 0 ? "-" : c);
        }

        return string.Join(_form.Separator == ' ' ? "  " : _form.Separator.ToString(), shown)
            + (_form.TrailingSeparator ? _form.Separator.ToString() : "")
            + _form.LineEnd;
    }
}
