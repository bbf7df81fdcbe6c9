using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Tests;

/// <summary>Logs without a header, and columns with meaningless headers.</summary>
public sealed class UnnamedColumnTests : IDisposable
{
    private readonly MadeLog _log = new();

    public void Dispose() => _log.Dispose();

    [Fact]
    public void A_log_without_header_is_numbered_shown_and_read_with_the_file_that_was_written()
    {
        string path = Headless();
        InputFault fault = Assert.Throws<InputFaultException>(() => MadeLog.Look(path)).Fault;
        Assert.Contains("--write-columns columns.toml numbers them and shows their values", fault.Remedy, StringComparison.Ordinal);

        ColumnSamples samples = LogInspection.Samples(path, ReadOptions.Default);
        Assert.False(samples.HasHeader);
        Assert.Equal(
            ["the time", "acceleration: x, y, z", "rates of turn: x, y, z", "commands: M1 to M6"],
            samples.Guesses.Select(g => g.Text)
        );

        string toml = ColumnsFile.TextOf(LogInspection.Headers(path, ReadOptions.Default), samples);
        Assert.Contains("header = \"column 8\"\nis = \"command\"\nmotor = \"M1\"", toml, StringComparison.Ordinal);
        Assert.Contains("# values: 0.000  0.002  0.004  0.006", toml, StringComparison.Ordinal);
        string file = _log.Save("columns.toml", toml, 0, _ => $"");

        FileRecord reading = MadeLog.Look(path, ReadOptions.Default with { Columns = ColumnsFile.Read(file) });
        Assert.Equal(
            ["time", "acc_x", "acc_y", "acc_z", "rate_x", "rate_y", "rate_z", "M1 command"],
            reading.Columns.Take(8).Select(c => c.Channel)
        );
        Assert.Contains("no header, columns numbered from 1", reading.Form);
        Assert.Equal(500, reading.RateHz!.Value, 0.5);
    }

    [Fact]
    public void Six_similar_columns_between_0_and_1_look_like_commands_and_are_not_used_unasked()
    {
        string path = _log.Save(
            "u.csv",
            "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,u1,u2,u3,u4,u5,u6,charge\n",
            3000,
            i =>
                $"{i / 500.0:F3},{MadeLog.Shake(i, i / 500.0, 0):F3},{MadeLog.Shake(i, i / 500.0, 1):F3},{-9.8 + MadeLog.Shake(i, i / 500.0, 2):F3},{U(i, 1):F3},{U(i, 2):F3},{U(i, 3):F3},{U(i, 4):F3},{U(i, 5):F3},{U(i, 6):F3},0.5"
        );
        FileRecord reading = MadeLog.Look(path);
        Warning warning = Assert.Single(reading.Warnings, w => w.Code == "looks-like");
        Assert.StartsWith(
            "'u1' to 'u6' (6 similar columns between 0 and 1) look like commands: M1 to M6, but their headers do not say so",
            warning.Text,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain(reading.Columns, c => c.Channel?.EndsWith("command", StringComparison.Ordinal) == true);
    }

    [Fact]
    public void Columns_that_are_not_of_motors_are_not_taken_for_them()
    {
        // Two similar ones, three that are constant, three of very different magnitude.
        string path = _log.Save(
            "n.csv",
            "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,p1,p2,gap,s1,s2,s3,d1,d2,d3\n",
            3000,
            i =>
                $"{i / 500.0:F3},{MadeLog.Shake(i, i / 500.0, 0):F3},{MadeLog.Shake(i, i / 500.0, 1):F3},{-9.8 + MadeLog.Shake(i, i / 500.0, 2):F3},{U(i, 1):F3},{U(i, 2):F3},-5,0.5,0.5,0.5,{0.1 * U(i, 1):F4},{U(i, 2):F4},{0.1 * U(i, 3):F4}"
        );
        Assert.DoesNotContain(MadeLog.Look(path).Warnings, w => w.Code == "looks-like");
    }

    // Angular velocity of four rotors, as in the thrust model of any textbook on multirotors: omega_1 to omega_4.
    [Theory]
    [InlineData("omega1 [rad/s],omega2 [rad/s],omega3 [rad/s],omega4 [rad/s]")]
    [InlineData("omega_0_rad_s,omega_1_rad_s,omega_2_rad_s,omega_3_rad_s")]
    [InlineData("Speed1 [rad/s],Speed2 [rad/s],Speed3 [rad/s],Speed4 [rad/s]")]
    public void Four_numbered_speeds_are_those_of_rotors(string headers)
    {
        FileRecord reading = MadeLog.Look(Numbered(headers));
        Assert.Equal(4, reading.Columns.Count(c => c.Channel?.EndsWith(" rpm", StringComparison.Ordinal) == true && c.Unit == "rad/s"));
    }

    [Fact]
    public void Three_numbered_speeds_beside_acceleration_are_rates() =>
        Assert.Equal(
            ["rate_x", "rate_y", "rate_z"],
            MadeLog
                .Look(
                    _log.Save(
                        "o.csv",
                        "time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,omega0 [rad/s],omega1 [rad/s],omega2 [rad/s]\n",
                        3000,
                        i =>
                            $"{i / 500.0:F3},{MadeLog.Shake(i, i / 500.0, 0):F3},{MadeLog.Shake(i, i / 500.0, 1):F3},{-9.8 + MadeLog.Shake(i, i / 500.0, 2):F3},{0.1 * U(i, 1):F3},{0.1 * U(i, 2):F3},{0.1 * U(i, 3):F3}"
                    )
                )
                .Columns.Select(c => c.Channel)
                .Skip(4)
        );

    [Fact]
    public void Numbered_speeds_beside_speeds_of_motors_are_not_used()
    {
        FileRecord reading = MadeLog.Look(
            Numbered("Speed1,Speed2,Speed3,Speed4,M1_rpm", i => FormattableString.Invariant($",{3300 + 20 * U(i, 5):F0}"))
        );
        Assert.Equal("M1 rpm", Assert.Single(reading.Columns, c => c.Channel?.EndsWith(" rpm", StringComparison.Ordinal) == true).Channel);
    }

    [Fact]
    public void The_range_of_the_time_begins_at_the_first_row()
    {
        string path = _log.Save("late.csv", MadeLog.ImuHeader, 3000, i => MadeLog.Imu(i, i / 500.0, 3.7 + i / 500.0));
        Assert.Equal(3.7, MadeLog.Look(path).Columns[0].Min!.Value, 0.001);
    }

    [Fact]
    public void A_column_that_is_left_out_says_why()
    {
        FileRecord reading = MadeLog.Look(Numbered("omega1 [rad/s],omega2 [rad/s],omega3 [rad/s],M1_rpm [rpm]"));
        Assert.Equal(
            "rate_z (not used: there is no acceleration beside it)",
            reading.Columns.Single(c => c.Header.StartsWith("omega2", StringComparison.Ordinal)).HowKnown
        );
    }

    private string Numbered(string headers, Func<int, string>? behind = null) =>
        _log.Save(
            "esc.csv",
            $"time_s,{headers}\n",
            3000,
            i =>
                $"{i / 50.0:F2},{345 + 5 * U(i, 1):F2},{345 + 5 * U(i, 2):F2},{345 + 5 * U(i, 3):F2},{345 + 5 * U(i, 4):F2}{behind?.Invoke(i)}"
        );

    private static double U(int row, int motor) => 0.5 + 0.02 * motor + 0.05 * Math.Sin(row / 40.0 + motor);

    private string Headless() =>
        _log.Save(
            "headless.csv",
            "",
            3000,
            i =>
                $"{i / 500.0:F3},{MadeLog.Shake(i, i / 500.0, 0):F3},{MadeLog.Shake(i, i / 500.0, 1):F3},{-9.8 + MadeLog.Shake(i, i / 500.0, 2):F3},{60 * Math.Sin(i / 50.0):F3},{40 * Math.Cos(i / 70.0):F3},{20 * Math.Sin(i / 30.0):F3},{U(i, 1):F3},{U(i, 2):F3},{U(i, 3):F3},{U(i, 4):F3},{U(i, 5):F3},{U(i, 6):F3},17"
        );
}
