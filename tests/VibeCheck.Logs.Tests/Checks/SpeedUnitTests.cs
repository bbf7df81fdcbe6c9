using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;
using VibeCheck.FlightMaker.Damage;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Tests.Checks;

/// <summary>The unit of reported speeds is compared with the vibration: missing units are found, wrong ones refused.</summary>
public sealed class SpeedUnitTests : IDisposable
{
    private static readonly SimulatedFlight Flight = SimulatedFlight.Make(
        Flights.ShortHexa with
        {
            HoverS = 46,
            ImuGaps = [],
            Wander = 0.01,
        }
    );

    // The same speeds without any rotor vibration: the vibration cannot decide.
    private static readonly SimulatedFlight Still = SimulatedFlight.Make(
        Flight.Recipe with
        {
            Rotors = [.. Enumerable.Range(0, 6).Select(_ => new RotorSource([new(1, 1e-6)]))],
        }
    );

    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-speeds-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData("two", 1.0 / 60, false, "Hz")]
    [InlineData("wide", 1, true, "eRPM")]
    [InlineData("wide", 1, false, "rpm")]
    public void Speeds_without_a_unit_are_read_in_the_one_that_the_vibration_follows(
        string layout,
        double perRpm,
        bool electrical,
        string unit
    )
    {
        Flight read = Read(
            Flight,
            new("open")
            {
                Layout = layout,
                Rpm = "{0} speed",
                SpeedPerRpm = perRpm,
                ElectricalSpeed = electrical,
            },
            Flights.Hexa
        );
        MotorTrack truth = Flight.Flight.Motors[2];
        Assert.Equal(truth.Rpm!.Values[400], read.Motors[2].Rpm!.Values[400], 1e-3);
        ColumnRecord column = (read.Input.Esc ?? read.Input.Imu).Columns.Single(c => c.Channel == "M3 rpm");
        Assert.Equal((unit, "data"), (column.Unit, column.HowKnown));
        Assert.Equal(truth.Rpm.Values.Max() * (electrical ? 14 : 1), column.Max!.Value, 1);
    }

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData("two", "{0}_rpm", 1, true, "rpm", "eRPM")]
    [InlineData("wide", "{0}_rpm", 1, true, "rpm", "eRPM")]
    public void Header_that_the_vibration_contradicts_is_refused_with_both_values(
        string layout,
        string header,
        double perRpm,
        bool electrical,
        string said,
        string fits
    )
    {
        InputFault fault = Assert
            .Throws<InputFaultException>(() =>
                Read(
                    Flight,
                    new("wrong")
                    {
                        Layout = layout,
                        Rpm = header,
                        SpeedPerRpm = perRpm,
                        ElectricalSpeed = electrical,
                    },
                    Flights.Hexa
                )
            )
            .Fault;
        Assert.Contains($"says {said} (rotors at ", fault.Problem, StringComparison.Ordinal);
        Assert.EndsWith($": the numbers fit {fits}", fault.Problem, StringComparison.Ordinal);
        Assert.Equal((1, layout == "two" ? 2 : 8), (fault.Line, fault.Column));
        Assert.Contains("columns file", fault.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Wrong_pole_pairs_are_reported_with_those_that_fit()
    {
        Airframe wrong = Flights.Hexa with { Motors = [.. Flights.Hexa.Motors.Select(m => m with { PolePairs = 12 })] };
        InputFault fault = Assert
            .Throws<InputFaultException>(() => Read(Flight, new("poles") { Rpm = "{0}_erpm", ElectricalSpeed = true }, wrong))
            .Fault;
        Assert.Equal(
            "'M1_erpm' is electrical speed, and with the airframe's 12 pole pairs the vibration does not follow it; with 14 it does",
            fault.Problem
        );
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Right_pole_pairs_are_kept_where_others_put_one_order_onto_a_strong_line()
    {
        // Three blades, order 2 the strongest: with 21 pole pairs instead of 14 the blade-pass line coincides with it, while the clock
        // offset is hardly detectable with the correct ones.
        DamageJob job = DamageJob.Make(1304);
        FlightSheets sheets = FlightSheets.Of(SimulatedFlight.Make(job.Before), job.Form, job.JitterS);
        string imu = Path.Combine(_folder, "imu.csv"),
            esc = Path.Combine(_folder, "esc.csv");
        SheetWriter.Write(sheets.Imu, sheets.Form, imu);
        SheetWriter.Write(sheets.Esc!, sheets.Form, esc);
        Flight read = FlightReader.Read(new([imu], [esc]), ReadOptions.Default, job.Airframe, TestContext.Current.CancellationToken);
        Assert.InRange(read.Motors[0].Rpm!.MeanOver([new(20, 40)])!.Value, 0.97 * job.Before.HoverRpm, 1.03 * job.Before.HoverRpm);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_unit_given_by_the_user_is_not_compared_with_the_vibration()
    {
        var columns = new Logs.Columns.ColumnsFile
        {
            Columns = [.. Enumerable.Range(1, 6).Select(m => new Logs.Columns.ColumnEntry($"M{m}_rpm", "rpm", $"M{m}", "rpm"))],
        };
        Flight read = Read(
            Flight,
            new("said") { Layout = "wide", ElectricalSpeed = true },
            Flights.Hexa,
            ReadOptions.Default with
            {
                Columns = columns,
            }
        );
        Assert.Equal(14 * Flight.Flight.Motors[0].Rpm!.Values[400], read.Motors[0].Rpm!.Values[400], 1);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Where_the_vibration_shows_nothing_the_size_decides_or_the_speeds_are_left_out()
    {
        Flight rpm = Read(Still, new("rpm") { Layout = "wide", Rpm = "{0} speed" }, Flights.Hexa);
        Assert.Equal(Still.Flight.Motors[2].Rpm!.Values[400], rpm.Motors[2].Rpm!.Values[400], 1e-3);
        Flight hertz = Read(
            Still,
            new("Hz")
            {
                Layout = "wide",
                Rpm = "{0} speed",
                SpeedPerRpm = 1.0 / 60,
            },
            Flights.Hexa
        );
        Assert.All(hertz.Motors, m => Assert.Null(m.Rpm));
        Assert.Contains(
            hertz.Input.Imu.Warnings,
            w => w.Code == "unit-unknown" && w.Text.StartsWith("The unit of 'M1 speed' is not given", StringComparison.Ordinal)
        );
    }

    private Flight Read(SimulatedFlight flight, LogFormRecipe form, Airframe airframe, ReadOptions? options = null)
    {
        (string imu, string? esc) = LogForms.Write(flight, form, _folder);
        return FlightReader.Read(
            new([imu], esc is null ? [] : [esc]),
            options ?? ReadOptions.Default,
            airframe,
            TestContext.Current.CancellationToken
        );
    }
}
