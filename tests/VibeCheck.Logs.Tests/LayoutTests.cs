using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using static VibeCheck.Logs.Tests.MadeLog;

namespace VibeCheck.Logs.Tests;

/// <summary>Several IMUs in one file, several files of one flight.</summary>
public sealed class LayoutTests : IDisposable
{
    private const string TwoImus =
        "time_s,imu0_acc_x_mps2,imu0_acc_y_mps2,imu0_acc_z_mps2,imu0_gyro_x_radps,imu0_gyro_y_radps,imu0_gyro_z_radps,"
        + "imu1_acc_x_mps2,imu1_acc_y_mps2,imu1_acc_z_mps2,imu1_gyro_x_radps,imu1_gyro_y_radps,imu1_gyro_z_radps\n";

    private readonly MadeLog _log = new();

    public void Dispose() => _log.Dispose();

    [Theory]
    [InlineData(1, 0.3, 0.03)]
    [InlineData(2, 0.7, 0.07)]
    public void One_of_several_imus_side_by_side_is_taken_as_asked(int unit, double acc, double rate)
    {
        string path = _log.Save(
            "two.csv",
            TwoImus,
            200,
            i =>
                $"{i / 500.0:F3},0.3,0.1,{-9.8 + Shake(i, i / 500.0, 2):F3},0.03,0.01,0.02,0.7,0.1,{-9.8 + Shake(i, i / 500.0, 2):F3},0.07,0.01,0.02"
        );
        Flight flight = Fly([path], [], ReadOptions.Default with { ImuUnit = unit });
        Assert.Equal((acc, rate), (flight.Imu.AccXMps2[50], flight.Imu.RateXRadps![50]));
        Assert.Contains(
            flight.Input.Imu.Warnings,
            w => w.Code == "several-imus" && w.Text.Contains($"number {unit} is used", StringComparison.Ordinal)
        );
    }

    [Theory]
    [InlineData(1, 0.3)]
    [InlineData(2, 0.7)]
    public void One_of_several_imus_row_by_row_is_taken_as_asked(int unit, double acc)
    {
        string path = _log.Save(
            "rows.csv",
            "time_s,imu,acc_x_mps2,acc_y_mps2,acc_z_mps2\n",
            400,
            i => $"{(i / 2) / 500.0:F3},{i % 2},{(i % 2 == 0 ? 0.3 : 0.7)},0.1,{-9.8 + Shake(i, i / 1000.0, 2):F3}"
        );
        Flight flight = Fly([path], [], ReadOptions.Default with { ImuUnit = unit });
        Assert.Equal(200, flight.Imu.Count);
        Assert.Equal(500, flight.Imu.RateHz, 0.01);
        Assert.All(flight.Imu.AccXMps2, x => Assert.Equal(acc, x));
    }

    // Six rows per cycle, 2 ms apart, 20 cycles per second.
    [Fact]
    public void The_rate_of_a_long_log_is_that_of_one_motor()
    {
        string path = _log.Save(
            "long.csv",
            "time_s,motor,rpm\n",
            6000,
            i => $"{i / 6 / 20.0 + i % 6 * 0.002:F3},M{1 + i % 6},{3300 + i % 7}"
        );
        Assert.Equal(20, MadeLog.Look(path).RateHz!.Value, 0.01);
    }

    [Fact]
    public void An_imu_that_is_not_there_is_refused()
    {
        string side = _log.Save("two.csv", TwoImus, 50, i => $"{i / 500.0:F3},0,0,-9.8,0,0,0,0,0,-9.8,0,0,0"),
            rows = _log.Save("rows.csv", "time_s,imu,acc_x_mps2,acc_y_mps2,acc_z_mps2\n", 50, i => $"{i / 500.0:F3},{i % 2},0,0,-9.8");
        foreach (string path in (string[])[side, rows])
        {
            InputFault fault = Assert.Throws<InputFaultException>(() => Fly([path], [], ReadOptions.Default with { ImuUnit = 3 })).Fault;
            Assert.Equal("IMU 3 was asked for, but the log has 2", fault.Problem);
        }
    }

    [Fact]
    public void Parts_whose_clock_goes_on_are_one_record()
    {
        string first = Part("first.csv", 0, 3000),
            second = Part("second.csv", 3000, 5000);
        Flight parts = Fly([first, second], []),
            whole = Fly([Part("whole.csv", 0, 5000)], []);
        Assert.Equal(whole.Imu.AccXMps2, parts.Imu.AccXMps2);
        Assert.Equal(whole.Imu.Blocks, parts.Imu.Blocks);
        Assert.Equal(5000, parts.Input.Imu.Rows);
        Assert.DoesNotContain(parts.Input.Imu.Warnings, w => w.Code == "parts-joined");
    }

    [Fact]
    public void Files_whose_clocks_restart_are_refused_as_different_flights()
    {
        InputFault fault = Assert.Throws<InputFaultException>(() => Fly([Part("a.csv", 0, 3000), Part("b.csv", 0, 2000)], [])).Fault;
        Assert.EndsWith("so the two are different flights and not parts of one", fault.Problem, StringComparison.Ordinal);
        Assert.Contains("--join-parts", fault.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_part_that_begins_minutes_later_is_refused_as_another_flight()
    {
        InputFault fault = Assert.Throws<InputFaultException>(() => Fly([Part("a.csv", 0, 3000), Part("b.csv", 90_000, 93_000)], [])).Fault;
        Assert.StartsWith("it begins 174 s after the end of ", fault.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Parts_with_restarted_clocks_are_joined_in_sequence_on_request_and_the_reading_says_so()
    {
        Flight flight = Fly([Part("a.csv", 0, 3000), Part("b.csv", 0, 2000)], [], ReadOptions.Default with { JoinParts = true });
        Assert.Equal([3000, 2000], flight.Imu.Blocks.Select(b => b.SampleCount));
        Assert.Equal(1, flight.Imu.Blocks[1].StartS - flight.Imu.Blocks[0].EndS, 0.003);
        Assert.Contains(flight.Input.Imu.Warnings, w => w.Code == "parts-joined");
    }

    [Fact]
    public void Parts_named_in_the_wrong_order_are_refused()
    {
        InputFault fault = Assert
            .Throws<InputFaultException>(() => Fly([Part("late.csv", 3000, 5000), Part("early.csv", 0, 3000)], []))
            .Fault;
        Assert.EndsWith("late.csv) begins", fault.Problem, StringComparison.Ordinal);
        Assert.Equal("Name the parts of a flight in order of time.", fault.Remedy);
    }

    [Fact]
    public void Parts_of_the_telemetry_are_joined_too()
    {
        string imu = Part("imu.csv", 0, 20_000);
        string Esc(string name, int from, int to) =>
            _log.Save(name, "time_s,M1_rpm\n", to - from, i => $"{(from + i) / 20.0:F3},{3000 + from + i}");
        Flight flight = Fly([imu], [Esc("one.csv", 0, 300), Esc("two.csv", 300, 800)], ReadOptions.Default with { ClockOffsetS = 0 });
        Series rpm = Assert.Single(flight.Motors).Rpm!;
        Assert.Equal((800, 3799), (rpm.Count, rpm.Values[^1]));
        Assert.Equal(799 / 20.0, rpm.TimeS[^1], 1e-9);
    }

    private string Part(string name, int from, int to) =>
        _log.Save(name, ImuHeader, to - from, i => Imu(from + i, (from + i) / 500.0, (from + i) / 500.0));
}
