using VibeCheck.Core.Quality;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;
using VibeCheck.FlightMaker.Healthy;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Tests;

/// <summary>IMU and ESC logs from recorders with separate clocks.</summary>
public sealed class TwoRecorderTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-clocks-").FullName;

    private static FlightRecipe Recipe => Flights.ShortHexa with { HoverS = 36, ImuGaps = [], Wander = 0.01, Seed = 5 };

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(0)]
    [InlineData(17.43)]
    [InlineData(900)]
    public void Offset_is_found_to_twelve_milliseconds(double escAheadS)
    {
        FlightRecipe recipe = Recipe with { EscClockOffsetS = escAheadS };
        Flight read = Read(SimulatedFlight.Make(recipe), SimulatedFlight.Make(recipe));
        // Reports are late by the latency, so the offset that fits the vibration is smaller by it.
        Assert.Equal(-escAheadS - recipe.TelemetryLatencyS, read.Input.ClockOffsetS!.Value, 0.012);
        Assert.InRange(read.Input.ClockOffsetU95S!.Value, 0.001, 0.06);
    }

    // Two calm hovers from a campaign of undamaged jobs; their vibration was withheld by an earlier version that assumed that such clocks
    // agree.
    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(1420)]
    [InlineData(1444)]
    public void An_offset_that_is_only_likely_is_used(int number)
    {
        HealthyJob job = HealthyJob.Make(number);
        (FlightRecipe recipe, LogFormRecipe form) = number == 1420 ? (job.Before, job.FormBefore) : (job.After, job.FormAfter);
        (string imu, string? esc) = LogForms.Write(SimulatedFlight.Make(recipe), form, Path.Combine(_folder, "flight"));
        Flight read = FlightReader.Read(new([imu], [esc!]), ReadOptions.Default, recipe.Airframe, TestContext.Current.CancellationToken);
        Assert.IsType<OffsetLikely>(read.Input.ClockWhy);
        Assert.Equal(-recipe.EscClockOffsetS - recipe.TelemetryLatencyS, read.Input.ClockOffsetS!.Value, 0.02);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Drift_is_found_on_a_long_flight_and_corrected()
    {
        // The ESC clock runs 150 ppm fast: 90 ms over ten minutes. A climb or turn every 40 s changes the speeds.
        FlightRecipe recipe = Recipe with
        {
            ImuRateHz = 250,
            HoverS = 600,
            EscClockPpm = 150,
            TelemetryLatencyS = 0,
            ManoeuvresAtS = [.. Enumerable.Range(1, 14).Select(i => 40.0 * i)],
        };
        SimulatedFlight flight = SimulatedFlight.Make(recipe);
        Flight read = Read(flight, flight);
        Assert.Equal(-150, read.Input.ClockDriftPpm!.Value, 15.0);
        Assert.InRange(read.Input.ClockDriftU95Ppm!.Value, 5, 50);
        Series expected = SimulatedFlight.Make(recipe with { EscClockPpm = 0 }).Flight.Motors[0].Rpm!,
            actual = read.Motors[0].Rpm!;
        foreach (int report in (int[])[100, expected.Count / 2, expected.Count - 100])
        {
            Assert.Equal(expected.TimeS[report], actual.TimeS[report], 0.02);
        }
    }

    [Fact]
    public void Files_of_two_flights_are_refused()
    {
        SimulatedFlight one = SimulatedFlight.Make(Recipe),
            other = SimulatedFlight.Make(Recipe with { Seed = 77, HoverRpm = 3500 });
        InputFault fault = Assert.Throws<InputFaultException>(() => Read(one, other)).Fault;
        Assert.Contains("does not belong to", fault.Problem, StringComparison.Ordinal);
        Assert.Contains("--clock-offset", fault.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void Given_offset_is_used_as_it_is()
    {
        FlightRecipe recipe = Recipe with { EscClockOffsetS = 3, HoverS = 10 };
        SimulatedFlight flight = SimulatedFlight.Make(recipe);
        Flight read = Read(flight, flight, ReadOptions.Default with { ClockOffsetS = -3 });
        Assert.Equal(-3, read.Input.ClockOffsetS);
        Assert.Equal(flight.Flight.Motors[0].Rpm!.TimeS[50] - 3, read.Motors[0].Rpm!.TimeS[50], 2e-3);
    }

    [Fact]
    public void Wall_clocks_that_do_not_overlap_are_refused()
    {
        SimulatedFlight flight = SimulatedFlight.Make(Recipe with { HoverS = 5 });
        LogFormRecipe iso = new("iso") { Time = "iso" };
        (string imu, _) = LogForms.Write(flight, iso, Path.Combine(_folder, "a"));
        (_, string? esc) = LogForms.Write(flight, iso with { ClockStartS = 7200 }, Path.Combine(_folder, "b"));
        InputFault fault = Assert
            .Throws<InputFaultException>(() =>
                FlightReader.Read(new([imu], [esc!]), ReadOptions.Default, Flights.Hexa, TestContext.Current.CancellationToken)
            )
            .Fault;
        Assert.Contains("do not overlap", fault.Problem, StringComparison.Ordinal);
    }

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(0)]
    [InlineData(3)]
    [InlineData(-3)]
    public void A_clock_that_jumps_in_flight_withholds_the_vibration(double jumpS)
    {
        SimulatedFlight flight = SimulatedFlight.Make(Recipe with { HoverS = 60 });
        string imu = Path.Combine(_folder, "imu.csv"),
            esc = Path.Combine(_folder, "esc.csv");
        FlightCsv.WriteImu(flight, imu);
        FlightCsv.WriteEsc(flight, esc);
        string[] rows = File.ReadAllLines(imu);
        for (int i = rows.Length / 2; i < rows.Length; i++)
        {
            string[] cells = rows[i].Split(',', 2);
            double stamp = double.Parse(cells[0], System.Globalization.CultureInfo.InvariantCulture) + 1e6 * jumpS;
            rows[i] = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{stamp:0},{cells[1]}");
        }

        File.WriteAllLines(imu, rows);
        Flight read = FlightReader.Read(new([imu], [esc]), ReadOptions.Default, Flights.Hexa, TestContext.Current.CancellationToken);
        Assert.Equal(jumpS != 0, read.Quality.Any(q => q is { Cause: ClockJumps, Effect: QualityEffect.Withheld }));
    }

    private Flight Read(SimulatedFlight imuOf, SimulatedFlight escOf, ReadOptions? options = null)
    {
        string imu = Path.Combine(_folder, "imu.csv"),
            esc = Path.Combine(_folder, "esc.csv");
        FlightCsv.WriteImu(imuOf, imu);
        FlightCsv.WriteEsc(escOf, esc);
        return FlightReader.Read(new([imu], [esc]), options ?? ReadOptions.Default, Flights.Hexa, TestContext.Current.CancellationToken);
    }
}
