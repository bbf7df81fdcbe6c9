using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Inputs;
using static VibeCheck.Logs.Tests.MadeLog;

namespace VibeCheck.Logs.Tests.Clocks;

/// <summary>Timestamps that no flight can have are refused with their place before they use memory; a single outlier is left out.</summary>
public sealed class ClockBoundsTests : IDisposable
{
    private const int Rows = 3000;
    private readonly MadeLog _log = new();

    public void Dispose() => _log.Dispose();

    private InputFault Refused(string header, Func<int, double> stamp)
    {
        string path = _log.Save("log.csv", header, Rows, i => Imu(i, i / 500.0, stamp(i)));
        return Assert.Throws<InputFaultException>(() => Look(path)).Fault;
    }

    [Theory]
    [InlineData(3 * 86_400, "the time jumps ahead by 3 days here")]
    [InlineData(7250, "the time jumps ahead by 2 hours here")]
    public void A_jump_ahead_is_refused_at_its_line(double byS, string says)
    {
        InputFault fault = Refused(ImuHeader, i => i / 500.0 + (i >= 1000 ? byS : 0));
        Assert.Equal((1002, 1, says), (fault.Line, fault.Column, fault.Problem));
        Assert.Contains("cut the log at this line", fault.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_log_that_is_nearly_all_pauses_is_refused()
    {
        InputFault fault = Refused(ImuHeader, i => i / 500.0 + i / 300 * 600);
        Assert.Equal(1, fault.Column);
        Assert.StartsWith("the rows cover 6 s of 90.1 minutes", fault.Problem, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0.11, "by its time the log has 9.09 rows of acceleration per second")]
    [InlineData(1e-5, "by its time the log has 1E+05 rows of acceleration per second")]
    public void A_rate_that_shows_no_vibration_is_refused(double stepS, string says)
    {
        string path = _log.Save(
            "log.csv",
            ImuHeader,
            Rows,
            i => $"{i * stepS:R},{Shake(i, i / 500.0, 0):F4},{Shake(i, i / 500.0, 1):F4},{Shake(i, i / 500.0, 2) - 9.80665:F4}"
        );
        InputFault fault = Assert.Throws<InputFaultException>(() => Look(path)).Fault;
        Assert.Equal((1, 1), (fault.Line, fault.Column));
        Assert.StartsWith(says, fault.Problem, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(Rows - 1, 1e9)]
    [InlineData(0, -1e6)]
    [InlineData(0, -6.829397862e15)]
    [InlineData(0, -9.1e18)]
    [InlineData(Rows - 1, 9.1e18)]
    public void One_outlying_stamp_at_an_end_is_left_out_and_reported(int wild, double stampS)
    {
        FileRecord reading = Look(_log.Save("log.csv", ImuHeader, Rows, i => Imu(i, i / 500.0, i == wild ? stampS : i / 500.0)));
        Assert.Equal(500, reading.RateHz!.Value, 0.001);
        Assert.Empty(reading.Gaps);
        Assert.StartsWith(
            $"Line {wild + 2} stands ",
            Assert.Single(reading.Warnings, w => w.Code == "stamp-far").Text,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void An_outlying_stamp_in_a_row_that_cannot_be_used_costs_no_other_row()
    {
        string path = _log.Save(
            "log.csv",
            ImuHeader,
            Rows,
            i => i == 0 ? (FormattableString)$"-9e18,nan,nan,nan" : Imu(i, i / 500.0, i / 500.0)
        );
        FileRecord reading = Look(path);
        Assert.Equal((1, 500), (reading.RowsUnusable, Math.Round(reading.RateHz!.Value, 3)));
        Assert.DoesNotContain(reading.Warnings, w => w.Code == "stamp-far");
    }

    [Fact]
    public void A_log_of_outlying_stamps_alone_is_refused()
    {
        string path = _log.Save("log.csv", ImuHeader, 2, i => i == 0 ? (FormattableString)$"-9e18,x,x,x" : $"9e18,x,x,x");
        Assert.Throws<InputFaultException>(() => Look(path));
    }

    [Fact]
    public void A_pause_of_some_minutes_is_a_gap_as_before()
    {
        FileRecord reading = Look(_log.Save("log.csv", ImuHeader, Rows, i => Imu(i, i / 500.0, i / 500.0 + (i >= 1000 ? 300 : 0))));
        Assert.Equal(300, Assert.Single(reading.Gaps).Seconds, 0.01);
    }

    [Theory]
    [InlineData("1e308")]
    [InlineData("-3e12")]
    [InlineData("20000000000")]
    public void A_value_beyond_any_sensor_is_an_unreadable_cell_with_its_place(string text)
    {
        string path = _log.Save("log.csv", ImuHeader, Rows, i => Imu(i, i / 500.0, i / 500.0));
        string[] lines = File.ReadAllLines(path);
        for (int line = 500; line < lines.Length; line += 1000)
        {
            string[] cells = lines[line].Split(',');
            lines[line] = $"{cells[0]},{cells[1]},{text},{cells[3]}";
        }

        File.WriteAllLines(path, lines);
        FileRecord reading = Look(path);
        Assert.Equal(3, reading.RowsUnusable);
        Assert.Contains(
            $"line 501: '{text}' is more than any sensor gives",
            Assert.Single(reading.Warnings, w => w.Code == "rows-unusable").Text,
            StringComparison.Ordinal
        );
        Assert.Equal(500, reading.RateHz!.Value, 0.001);
    }

    [Fact]
    public void Acceleration_beyond_any_sensor_in_its_unit_is_left_out_row_by_row_or_refused_with_its_place()
    {
        // 5e6 g: small enough as a raw count, but not possible as an acceleration.
        const string Header = "time_s,acc_x_g,acc_y_g,acc_z_g\n";
        FormattableString Row(int i, bool wild) =>
            $"{i / 500.0:F6},{(wild ? 5e6 : 0.01 * Shake(i, i / 500.0, 0)):F4},{0.01 * Shake(i, i / 500.0, 1):F4},{0.01 * Shake(i, i / 500.0, 2) - 1:F4}";
        FileRecord reading = Look(_log.Save("some.csv", Header, Rows, i => Row(i, i % 1000 == 7)));
        Assert.Equal(3, reading.RowsUnusable);
        Assert.StartsWith(
            "3 rows were left out: line 9, column 2: ",
            Assert.Single(reading.Warnings, w => w.Code == "values-beyond-sensors").Text,
            StringComparison.Ordinal
        );
        string many = _log.Save("many.csv", Header, Rows, i => Row(i, i % 4 == 1));
        InputFault fault = Assert.Throws<InputFaultException>(() => Look(many)).Fault;
        Assert.Equal((3, 2), (fault.Line, fault.Column));
        Assert.Contains("in 750 of 3000 rows", fault.Problem, StringComparison.Ordinal);
    }
}
