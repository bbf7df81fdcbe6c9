using System.IO.Compression;
using System.Text;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Tests;

/// <summary>An unusable input is refused with its place and a remedy; nothing crashes, hangs or uses unbounded memory.</summary>
public sealed class BadInputTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-bad-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Missing_file_is_reported()
    {
        InputFault fault = Refused(Path.Combine(_folder, "none.csv"));
        Assert.Equal("there is no such file", fault.Problem);
        Assert.Equal("Check the name and the folder.", fault.Remedy);
    }

    [Fact]
    public void Empty_file_is_reported() => Assert.Equal("the file is empty", Refused(Saved("")).Problem);

    [Fact]
    public void Header_without_time_is_reported_with_the_text_found()
    {
        InputFault fault = Refused(Saved("frame,acc_x_g,acc_y_g,acc_z_g\n" + Rows("{0},0.1,0.2,-1.0\n")));
        Assert.Equal(1, fault.Line);
        Assert.Equal("no column is named as time (the header starts 'frame, acc_x_g, acc_y_g, acc_z_g')", fault.Problem);
    }

    [Fact]
    public void Numbers_without_header_are_reported()
    {
        InputFault fault = Refused(Saved(Rows("{0},0.1,0.2,-1.0\n")));
        Assert.Equal("there is no header above the numbers (this line holds '0,0.1,0.2,-1.0')", fault.Problem);
    }

    [Fact]
    public void Text_without_numbers_is_reported()
    {
        InputFault fault = Refused(Saved("Dear reader,\nthis is no log.\n"));
        Assert.Equal("no rows of numbers follow (this line holds 'Dear reader,')", fault.Problem);
    }

    [Fact]
    public void Acceleration_in_another_unit_than_the_header_says_is_a_contradiction()
    {
        InputFault fault = Refused(Saved("time_ms,acc_x_g,acc_y_g,acc_z_g\n" + Rows("{0},0.1,0.2,-9.81\n")));
        Assert.Equal((1, 4), (fault.Line, fault.Column));
        Assert.Equal("'acc_z_g' says g, but then gravity would be 96.23 m/s²; the numbers fit m/s²", fault.Problem);
    }

    [Fact]
    public void Of_axes_in_several_units_the_one_that_gravity_contradicts_is_named()
    {
        InputFault fault = Refused(Saved("time_ms,acc_x_g,acc_y_mps2,acc_z_mg\n" + Rows("{0},0.01,0.2,-9.81\n")));
        Assert.Equal((1, 4), (fault.Line, fault.Column));
        Assert.StartsWith("'acc_z_mg' says mg, but then gravity would be ", fault.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Time_in_another_unit_than_the_header_says_is_a_contradiction()
    {
        InputFault fault = Refused(Saved("time_s,acc_x_g,acc_y_g,acc_z_g\n" + Rows("{0}000,0.1,0.2,-1\n", 2000)));
        Assert.Contains("'time_s' says s", fault.Problem, StringComparison.Ordinal);
        Assert.Contains("the data look like µs", fault.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Rates_beyond_any_sensor_in_the_unit_of_the_header_are_a_contradiction()
    {
        InputFault fault = Refused(
            Saved("time_ms,acc_x_g,acc_y_g,acc_z_g,gyro_x_rads,gyro_y_rads,gyro_z_rads\n" + Rows("{0},0.1,0.2,-1,-{0}.5,3,2\n", 151))
        );
        Assert.Equal((1, 5), (fault.Line, fault.Column));
        Assert.Equal(
            "'gyro_x_rads' says rad/s, but its values run from -150.5 to -0.5, more than any sensor's range; the numbers fit deg/s",
            fault.Problem
        );
    }

    [Theory]
    [InlineData("M1_current_a", "24000", "'M1_current_a' says A, but its values run from 24000 to 24000; the numbers fit mA")]
    [InlineData("vbat [V]", "24100", "'vbat [V]' says V, but its values run from 24100 to 24100; the numbers fit mV")]
    [InlineData("M1_esc_temp_c", "2980", "'M1_esc_temp_c' says °C, but its values run from 2980 to 2980")]
    [InlineData("M1_command [0..1]", "55", "'M1_command [0..1]' says 0..1, but its values run from 55 to 55; the numbers fit %")]
    [InlineData("M1_motor_temp_c", "305", "'M1_motor_temp_c' says °C, but its values run from 305 to 305; the numbers fit K")]
    [InlineData("M1_rpm", "72", "'M1_rpm' says rpm, but its values run from 72 to 72, with which nothing flies; the numbers fit Hz")]
    [InlineData(
        "M1_speed_hz",
        "4300",
        "'M1_speed_hz' says Hz, but its values run from 4300 to 4300, with which nothing flies; the numbers fit rpm"
    )]
    [InlineData(
        "M1_krpm",
        "4300",
        "'M1_krpm' says krpm, but its values run from 4300 to 4300, with which nothing flies; the numbers fit rpm"
    )]
    [InlineData("M1_rpm", "4.3", "'M1_rpm' says rpm, but its values run from 4.3 to 4.3, with which nothing flies; the numbers fit krpm")]
    public void Telemetry_beyond_all_reason_in_the_unit_of_the_header_is_a_contradiction(string header, string value, string problem)
    {
        InputFault fault = Refused(Saved($"time_ms,acc_x_g,acc_y_g,acc_z_g,{header}\n" + Rows($"{{0}},0.1,0.2,-1,{value}\n")));
        Assert.Equal((1, 5, problem), (fault.Line, fault.Column, fault.Problem));
    }

    [Fact]
    public void Rotors_that_never_turn_contradict_no_unit()
    {
        string path = Saved("time_ms,acc_x_g,acc_y_g,acc_z_g,M1_rpm,M2_rpm\n" + Rows("{0},0.1,0.2,-1,0,0\n"));
        Assert.Equal("rpm", LogInspection.Read([path], ReadOptions.Default, TestContext.Current.CancellationToken)[0].Columns[4].Unit);
    }

    [Fact]
    public void Row_with_more_cells_than_the_header_is_not_used()
    {
        string rows = Rows("{0},0.1,0.2,-1,7\n", 60) + "60,0,1,0.2,-1,7\n" + Rows("{0},0.1,0.2,-1,7\n", 60, 61);
        foreach (string header in (string[])["time_ms,acc_x_g,acc_y_g,acc_z_g,note\n", "time_ms,acc_x_g,acc_y_g,acc_z_g,height\n"])
        {
            FileRecord reading = LogInspection.Read([Saved(header + rows)], ReadOptions.Default, TestContext.Current.CancellationToken)[0];
            Assert.Equal((121, 1), (reading.Rows, reading.RowsUnusable));
            Assert.Contains(
                reading.Warnings,
                w => w.Text == "1 of 121 rows could not be used; the first is line 62: '60,0,1,0.2,-1,7' has more cells than the header."
            );
            Assert.Equal(-1 * 9.80665, reading.Columns[3].Max!.Value, 1e-9);
        }
    }

    [Fact]
    public void Separators_at_the_end_of_some_rows_are_no_cells()
    {
        string path = Saved("time_ms,acc_x_g,acc_y_g,acc_z_g\n" + Rows("{0},0.1,0.2,-1\n", 60) + Rows("{0},0.1,0.2,-1,, \n", 60, 60));
        Assert.Equal(0, LogInspection.Read([path], ReadOptions.Default, TestContext.Current.CancellationToken)[0].RowsUnusable);
    }

    [Theory]
    [InlineData("soon", "'soon' under 'time' is not a time")]
    [InlineData("05/01/2026 12:00:00 PM", "'05/01/2026 12:00:00 PM' under 'time' is not a time that rises")]
    [InlineData("05/2026 12:00", "'05/2026 12:00' under 'time' is not a time")]
    [InlineData("12:00:00", "'12:00:00' under 'time' is not a time that rises")]
    public void Unreadable_times_are_distinguished_from_constant_ones(string stamp, string problem)
    {
        InputFault fault = Refused(Saved("time,acc_x_g,acc_y_g,acc_z_g\n" + Rows(stamp + ",0.1,0.2,-1\n")));
        Assert.Equal((2, 1, problem), (fault.Line, fault.Column, fault.Problem));
    }

    [Fact]
    public void Speeds_that_name_no_motor_are_reported()
    {
        string path = Saved("time_ms,acc_x_g,acc_y_g,acc_z_g,rpm,rpm\n" + Rows("{0},0.1,0.2,-1,3000,3100\n"));
        FileRecord reading = LogInspection.Read([path], ReadOptions.Default, TestContext.Current.CancellationToken)[0];
        Assert.Contains(
            reading.Warnings,
            w =>
                w.Text
                == "2 columns such as 'rpm' name no motor and are left out: write the motor into the header (M1_rpm), or say it in a "
                    + "columns file."
        );
    }

    [Fact]
    public void Unusable_telemetry_is_reported_with_the_reason()
    {
        InputFault fault = Refused(Saved("time_ms,rotor 1 freq\n" + Rows("{0}00,70.{0}\n")));
        Assert.Equal(
            (1, 2, "nothing that can be used was found; 'rotor 1 freq' was read as M1 rpm, but: unit not known"),
            (fault.Line, fault.Column, fault.Problem)
        );
    }

    [Fact]
    public void Rotors_faster_than_half_the_rate_are_reported_by_the_reading()
    {
        string path = Saved("time_ms,acc_x_g,acc_y_g,acc_z_g,M1_rpm\n" + Rows("{0}0,0.1,0.2,-1,60{0}\n"));
        FileRecord reading = LogInspection.Read([path], ReadOptions.Default, TestContext.Current.CancellationToken)[0];
        Assert.Contains(reading.Warnings, w => w.Code == "rate-too-low");
    }

    [Fact]
    public void Rates_beside_raw_counts_are_not_guessed()
    {
        string path = Saved("time_ms,ax,ay,az,gx,gy,gz\n" + Rows("{0},20,-31,2051,{0},12,-9\n", 200));
        FileRecord reading = LogInspection.Read(
            [path],
            ReadOptions.Default with
            {
                CountsPerG = 2048,
            },
            TestContext.Current.CancellationToken
        )[0];
        Assert.Null(reading.Columns[4].Channel);
        Assert.Contains(
            reading.Warnings,
            w => w.Code == "rates-unit-unknown" && w.Text.Contains("are raw counts", StringComparison.Ordinal)
        );
    }

    [Fact]
    public void Temperature_of_rows_named_by_esc_is_the_escs()
    {
        string path = Saved("time_ms,esc_id,rpm,temp\n" + Rows("{0}00,1,4{0},31\n") + Rows("{0}00,2,4{0},31\n"));
        Assert.Equal(
            "esc temp",
            LogInspection.Read([path], ReadOptions.Default, TestContext.Current.CancellationToken)[0].Columns[3].Channel
        );
    }

    [Fact]
    public void Units_row_against_header_is_a_contradiction()
    {
        InputFault fault = Refused(Saved("time_ms,acc_x_g,acc_y_g,acc_z_g\nms,m/s2,m/s2,m/s2\n" + Rows("{0},0.1,0.2,-1\n")));
        Assert.Equal("header 'acc_x_g' says g, the units row says m/s²", fault.Problem);
    }

    [Fact]
    public void Raw_counts_ask_for_their_scale()
    {
        string path = Saved("time_ms,ax,ay,az\n" + Rows("{0},20,-31,2051\n"));
        Assert.Contains("--counts-per-g (perhaps 2048", Refused(path).Remedy, StringComparison.Ordinal);
        FileRecord reading = LogInspection.Read(
            [path],
            ReadOptions.Default with
            {
                CountsPerG = 2048,
            },
            TestContext.Current.CancellationToken
        )[0];
        // Standard gravity is 9.80665 m/s² exactly (SI Brochure).
        Assert.Equal(2051 / 2048.0 * 9.80665, reading.Columns[3].Max!.Value, 1e-9);
    }

    [Fact]
    public void Cells_that_are_no_numbers_are_counted_and_shown()
    {
        string path = Saved(
            "time_ms,acc_x_g,acc_y_g,acc_z_g\n" + Rows("{0},0.1,0.2,-1\n", 60) + "60,oops,0.2,-1\n" + Rows("{0},0.1,0.2,-1\n", 60, 61)
        );
        FileRecord reading = LogInspection.Read([path], ReadOptions.Default, TestContext.Current.CancellationToken)[0];
        Assert.Equal((121, 1), (reading.Rows, reading.RowsUnusable));
        Assert.Contains(reading.Warnings, w => w.Text == "1 of 121 rows could not be used; the first is line 62: 'oops' is not a number.");
    }

    [Fact]
    public void Too_many_unusable_rows_are_refused_at_the_share_that_was_asked_for()
    {
        string path = Saved("time_ms,acc_x_g,acc_y_g,acc_z_g\n" + Rows("{0},0.1,0.2,-1\n", 40) + Rows("{0},?,0.2,-1\n", 10, 40));
        InputFault fault = Refused(path);
        Assert.Equal((42, 2), (fault.Line, fault.Column));
        Assert.Equal("10 of 50 rows can't be used (20 %); the first: '?' is not a number", fault.Problem);
        Assert.Equal(
            10,
            LogInspection
                .Read([path], ReadOptions.Default with { MaxUnusableShare = 0.5 }, TestContext.Current.CancellationToken)[0]
                .RowsUnusable
        );
    }

    [Fact]
    public void Esc_file_given_as_imu_is_reported()
    {
        string path = Saved("time_ms,M1_rpm,M2_rpm\n" + Rows("{0}00,3000,3100\n"));
        InputFault fault = Assert
            .Throws<InputFaultException>(() =>
                FlightReader.Read(new([path], []), ReadOptions.Default, Flights.Hexa, TestContext.Current.CancellationToken)
            )
            .Fault;
        Assert.Equal("there is no acceleration in this file; it looks like ESC telemetry", fault.Problem);
    }

    [Fact]
    public void Motors_that_the_airframe_lacks_are_reported()
    {
        string imu = Saved("time_ms,acc_x_g,acc_y_g,acc_z_g,port_rpm,starboard_rpm\n" + Rows("{0},0.1,0.2,-1,3000,3100\n"));
        InputFault fault = Assert
            .Throws<InputFaultException>(() =>
                FlightReader.Read(new([imu], []), ReadOptions.Default, Flights.Hexa, TestContext.Current.CancellationToken)
            )
            .Fault;
        Assert.Equal("no motor of the log (port_rpm, starboard_rpm) is one of the airframe's (M1, M2, M3, M4, M5, M6)", fault.Problem);
    }

    [Fact]
    public void Line_without_end_is_refused_in_bounded_memory()
    {
        string path = Path.Combine(_folder, "line.csv");
        using (var file = new StreamWriter(path))
        {
            string block = new('7', 1 << 20);
            for (int i = 0; i < 64; i++)
            {
                file.Write(block);
            }
        }

        Assert.Contains("longer than 8 MB", Refused(path).Problem, StringComparison.Ordinal);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Long_line_within_the_data_is_refused()
    {
        string path = Saved("time_ms,acc_x_g,acc_y_g,acc_z_g\n" + Rows("{0},0.1,0.2,-1\n", 200_000) + new string('x', 20 << 20));
        InputFault fault = Refused(path);
        Assert.Contains("longer than 8 MB", fault.Problem, StringComparison.Ordinal);
        Assert.Equal(200_002, fault.Line);
    }

    [Fact]
    public void Millions_of_columns_are_refused()
    {
        var text = new StringBuilder();
        text.Append("time_ms").Insert(text.Length, ",c", 200_000).Append('\n');
        for (int row = 0; row < 3; row++)
        {
            text.Append(row).Insert(text.Length, ",1", 200_000).Append('\n');
        }

        Assert.Contains("more than 100000 columns", Refused(Saved(text.ToString())).Problem, StringComparison.Ordinal);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Packed_file_that_unpacks_without_end_is_refused()
    {
        string path = Path.Combine(_folder, "bomb.csv.gz");
        using (var packed = new GZipStream(File.Create(path), CompressionLevel.SmallestSize))
        {
            packed.Write("time_ms,acc_x_g,acc_y_g,acc_z_g\n"u8);
            byte[] blanks = new byte[1 << 20];
            Array.Fill(blanks, (byte)'\n');
            for (int i = 0; i < 300; i++)
            {
                packed.Write(blanks);
            }
        }

        InputFault fault = Refused(path);
        Assert.True(
            fault.Problem.Contains("unpacks to more than", StringComparison.Ordinal)
                || fault.Problem.Contains("no rows", StringComparison.Ordinal),
            fault.Problem
        );
    }

    [Fact]
    public void Damaged_packed_file_is_reported()
    {
        string whole = Path.Combine(_folder, "whole.csv.gz"),
            cut = Path.Combine(_folder, "cut.csv.gz");
        using (var packed = new GZipStream(File.Create(whole), CompressionLevel.Fastest))
        {
            packed.Write(Encoding.UTF8.GetBytes("time_ms,acc_x_g,acc_y_g,acc_z_g\n" + Rows("{0},0.1,0.2,-1\n", 5000)));
        }

        byte[] bytes = File.ReadAllBytes(whole);
        for (int i = bytes.Length / 3; i < bytes.Length / 3 + 40; i++)
        {
            bytes[i] ^= 0x5a;
        }

        File.WriteAllBytes(cut, bytes);
        InputFault fault = Refused(cut);
        Assert.NotEmpty(fault.Remedy);
    }

    [Fact]
    public void Binary_file_is_reported()
    {
        string path = Path.Combine(_folder, "binary.csv");
        byte[] bytes = new byte[5000];
        new Random(3).NextBytes(bytes);
        bytes[0] = 7;
        File.WriteAllBytes(path, bytes);
        Assert.Contains("not a text file", Refused(path).Problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Nul_bytes_in_a_row_make_it_unusable()
    {
        string path = Saved(
            "time_ms,acc_x_g,acc_y_g,acc_z_g\n"
                + Rows("{0},0.1,0.2,-1\n", 1000)
                + "1000,0\0.1,0.2,-1\n"
                + Rows("{0},0.1,0.2,-1\n", 50, 1001)
        );
        Assert.Equal(1, LogInspection.Read([path], ReadOptions.Default, TestContext.Current.CancellationToken)[0].RowsUnusable);
    }

    [Fact]
    public void Headers_of_formulas_and_markup_stay_plain_text()
    {
        string path = Saved(
            "time_ms,acc_x_g,acc_y_g,acc_z_g,=1+1,<img src=x onerror=alert(1)>,\u001b[31mred\n" + Rows("{0},0.1,0.2,-1,1,2,3\n")
        );
        FileRecord reading = LogInspection.Read([path], ReadOptions.Default, TestContext.Current.CancellationToken)[0];
        Assert.Equal(7, reading.Columns.Count);
        Assert.All(reading.Columns.Skip(4), c => Assert.Null(c.Channel));
        Assert.DoesNotContain(reading.Columns, c => c.Header.Any(char.IsControl));
    }

    private static InputFault Refused(string path) =>
        Assert
            .Throws<InputFaultException>(() => LogInspection.Read([path], ReadOptions.Default, TestContext.Current.CancellationToken))
            .Fault;

    private string Saved(string text)
    {
        string path = Path.Combine(_folder, "log.csv");
        File.WriteAllText(path, text);
        return path;
    }

    private static string Rows(string form, int count = 60, int from = 0) =>
        string.Concat(Enumerable.Range(from, count).Select(i => string.Format(System.Globalization.CultureInfo.InvariantCulture, form, i)));
}
