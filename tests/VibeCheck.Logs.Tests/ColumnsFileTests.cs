using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Tests;

public sealed class ColumnsFileTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-columns-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Columns_file_overrides_headers_units_and_motors()
    {
        string log = Saved(
            "log.csv",
            "ch1,ch2,ch3,ch4,temp A,acc_x_g\n" + string.Concat(Enumerable.Range(0, 80).Select(i => $"{i},100,200,-2048,310,7\n"))
        );
        string toml = Saved(
            "columns.toml",
            """
            [[column]]
            header = "ch1"
            is = "time"
            unit = "ms"
            [[column]]
            header = "ch2"
            is = "acc_x"
            unit = "g"
            scale = 0.00048828125
            [[column]]
            header = "ch3"
            is = "acc_y"
            unit = "g"
            scale = 0.00048828125
            [[column]]
            header = "ch4"
            is = "acc_z"
            unit = "g"
            scale = 0.00048828125
            [[column]]
            header = "temp A"
            is = "esc_temp"
            motor = "M3"
            unit = "K"
            [[column]]
            header = "acc_x_g"
            is = "ignore"
            """
        );
        Flight flight = FlightReader.Read(
            new([log], []),
            ReadOptions.Default with
            {
                Columns = ColumnsFile.Read(toml),
            },
            Flights.Hexa,
            TestContext.Current.CancellationToken
        );
        Assert.Equal(-9.80665, flight.Imu.AccZMps2[5], 1e-9);
        Assert.Equal(100 / 2048.0 * 9.80665, flight.Imu.AccXMps2[5], 1e-9);
        MotorTrack motor = Assert.Single(flight.Motors);
        Assert.Equal("M3", motor.MotorId);
        Assert.Equal(36.85, motor.EscTempC!.Values[0], 1e-9);
    }

    [Fact]
    public void The_file_that_read_writes_reads_the_log_the_same()
    {
        string log = Saved(
            "log.csv",
            "t [ms];acc x [g];acc y [g];acc z [g];M1 speed [rpm];M1 ESC [°C];vbat;junk\n"
                + string.Concat(Enumerable.Range(0, 80).Select(i => $"{i};0.1;0.2;-1;{3000 + i};40;24.1;x\n"))
        );
        FileRecord first = LogInspection.Read([log], ReadOptions.Default, TestContext.Current.CancellationToken)[0];
        string toml = Saved("columns.toml", ColumnsFile.TextOf(first));
        FileRecord again = LogInspection.Read(
            [log],
            ReadOptions.Default with
            {
                Columns = ColumnsFile.Read(toml),
            },
            TestContext.Current.CancellationToken
        )[0];
        Assert.Equal(
            first.Columns.Select(c => (c.Header, c.Channel, c.Unit, c.Min, c.Max)),
            again.Columns.Select(c => (c.Header, c.Channel, c.Unit, c.Min, c.Max))
        );
        Assert.All(again.Columns.Where(c => c.Channel is not null), c => Assert.Equal("columns file", c.HowKnown));
    }

    [Fact]
    public void Unknown_channel_is_reported_with_its_line()
    {
        string log = Saved("log.csv", "t_ms,ax,ay,az\n" + string.Concat(Enumerable.Range(0, 40).Select(i => $"{i},0,0,-1\n")));
        string toml = Saved("columns.toml", "[[column]]\nheader = \"ax\"\nis = \"wobble\"\n");
        InputFault fault = Assert
            .Throws<InputFaultException>(() =>
                LogInspection.Read(
                    [log],
                    ReadOptions.Default with
                    {
                        Columns = ColumnsFile.Read(toml),
                    },
                    TestContext.Current.CancellationToken
                )
            )
            .Fault;
        Assert.Equal((toml, 1, "'wobble' is not a channel"), (fault.File, fault.Line, fault.Problem));
    }

    [Theory]
    [InlineData("row_per_second = 100\n", "line 1: 'row_per_second' means nothing here and is not used; did you mean 'rows_per_second'?")]
    [InlineData(
        "[[column]]\nheader = \"ax\"\nis = \"acc_x\"\nunits = \"g\"\n",
        "line 4: 'units' means nothing here and is not used; did you mean 'unit'?"
    )]
    public void A_key_without_meaning_is_named_with_the_one_that_was_probably_meant(string text, string problem) =>
        Assert.Equal(problem, Assert.Throws<InputFaultException>(() => ColumnsFile.Read(Saved("columns.toml", text))).Fault.Problem);

    private string Saved(string name, string text)
    {
        string path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }
}
