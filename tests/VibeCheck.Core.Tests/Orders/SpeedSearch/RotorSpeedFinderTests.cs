using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.SpeedSearch;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Orders.SpeedSearch;

/// <summary>Short simulated hovers with known truth, and cases without a result; the campaign in tools/ tries many.</summary>
public sealed class RotorSpeedFinderTests
{
    private static readonly SimulatedFlight s_apart = Make(spread: 0.02, wander: 0.008);

    [Fact]
    [Trait("Category", "Slow")]
    public void Speeds_are_found_led_by_commands()
    {
        SpeedSearchResult result = Find(s_apart, (m, i) => new(m.MotorId, 2, Command: m.Command));
        Assert.Equal(4, result.Motors.Count);
        Assert.True(result.Motors.Count(m => m.Rpm is not null) >= 2, string.Join(" ", result.Motors.Select(m => m.MeanRpm.Why)));
        Assert.All(result.Motors.Where(m => m.Rpm is not null), m => HoldsTruth(m, s_apart));
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_found_speed_follows_the_true_one_in_time()
    {
        FoundSpeed found = Find(s_apart, (m, i) => new(m.MotorId, 2, Command: m.Command)).Motors.First(m => m.Rpm is not null);
        Series truth = s_apart.Flight.Track(found.MotorId)!.Rpm!;
        double[] off = [.. found.Rpm!.TimeS.Select((t, i) => found.Rpm.Values[i] - truth.At(t))];
        double rms = Math.Sqrt(off.Average(d => d * d)),
            wander = Math.Sqrt(found.Rpm.TimeS.Average(t => Math.Pow(truth.At(t) - found.MeanRpm.Value!.Value, 2)));
        Assert.True(rms < 0.5 * wander, $"off by {rms:0.0} rpm, while the speed itself wanders by {wander:0.0}");
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void The_one_motor_without_a_speed_is_found_by_its_command_beside_the_known_ones()
    {
        SimulatedFlight wide = Make(spread: 0.05, wander: 0.008, seed: 1);
        FoundSpeed found = Assert.Single(Find(wide, (m, i) => new(m.MotorId, 2, Command: m.Command, Rpm: i == 2 ? null : m.Rpm)).Motors);
        Assert.Equal("M3", found.MotorId);
        HoldsTruth(found, wide);
    }

    [Fact]
    public void A_line_that_known_motors_leave_over_is_not_taken_for_the_missing_one()
    {
        FoundSpeed found = Assert.Single(Find(s_apart, (m, i) => new(m.MotorId, 2, Rpm: i == 2 ? null : m.Rpm)).Motors);
        Assert.Null(found.Rpm);
        Assert.Equal(new LinesNotNamed(), found.MeanRpm.Why);
    }

    [Fact]
    public void Without_commands_lines_are_seen_but_not_named()
    {
        SpeedSearchResult result = Find(s_apart, (m, i) => new(m.MotorId, 2));
        Assert.All(result.Motors, m => Assert.Null(m.Rpm));
        Assert.All(result.Motors, m => Assert.Equal(new LinesNotNamed(), m.MeanRpm.Why));
        double[] truth = [.. s_apart.Truth.Motors.Select(m => m.RpmMean)];
        Assert.NotEmpty(result.LinesRpm);
        Assert.All(result.LinesRpm, rpm => Assert.InRange(rpm, 0.99 * truth.Min(), 1.01 * truth.Max()));
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Motors_too_near_each_other_are_not_given()
    {
        SimulatedFlight near = Make(spread: 0.0002, wander: 0.0004);
        SpeedSearchResult result = Find(near, (m, i) => new(m.MotorId, 2, Command: m.Command));
        Assert.All(result.Motors, m => Assert.Null(m.Rpm));
        Assert.Contains(result.Motors, m => m.MeanRpm.Why is LineShared);
        Assert.Null(result.Why);
    }

    [Fact]
    public void Noise_is_no_rotor()
    {
        SpeedSearchResult result = Find(Quiet(_ => 0), (m, i) => new(m.MotorId, 2, Command: m.Command));
        Assert.Equal(new NoHarmonicLines(), result.Why);
        Assert.Empty(result.LinesRpm);
    }

    [Fact]
    public void A_steady_line_of_the_frame_is_no_rotor()
    {
        SpeedSearchResult result = Find(
            Quiet(t => 0.5 * Math.Sin(2 * Math.PI * 71.3 * t)),
            (m, i) => new(m.MotorId, 2, Command: m.Command)
        );
        Assert.All(result.Motors, m => Assert.Null(m.Rpm));
        Assert.NotNull(result.Why);
    }

    [Fact]
    public void Lines_of_blades_alone_give_no_speed_twice_too_high()
    {
        SimulatedFlight blades = Make(spread: 0.02, wander: 0.008, orders: [2, 4]);
        SpeedSearchResult result = Find(blades, (m, i) => new(m.MotorId, 2, Command: m.Command));
        Assert.All(result.Motors, m => Assert.Null(m.Rpm));
    }

    [Fact]
    public void A_log_too_slow_for_two_orders_gives_nothing()
    {
        SimulatedFlight slow = Make(spread: 0.02, wander: 0.008, rateHz: 230);
        SpeedSearchResult result = Find(slow, (m, i) => new(m.MotorId, 2, Command: m.Command));
        Assert.All(result.Motors, m => Assert.Null(m.Rpm));
        Assert.All(result.Motors, m => Assert.NotNull(m.MeanRpm.Why));
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Commands_that_do_not_move_name_nothing()
    {
        SpeedSearchResult result = Find(
            s_apart,
            (m, i) => new(m.MotorId, 2, Command: new(m.Command!.TimeS, [.. m.Command.Values.Select(_ => 0.45)]))
        );
        Assert.All(result.Motors, m => Assert.Null(m.Rpm));
    }

    [Fact]
    public void A_hover_of_a_second_is_too_short()
    {
        Flight flight = s_apart.Flight;
        SpeedSearchResult result = RotorSpeedFinder.Find(
            flight.Imu,
            [new(15, 16)],
            [.. flight.Motors.Select(m => new SpeedPrior(m.MotorId, 2, Command: m.Command))]
        );
        Assert.Equal(new HoverWithoutSegment(1.5), result.Why);
        Assert.All(result.Motors, m => Assert.Equal(result.Why, m.MeanRpm.Why));
    }

    private static void HoldsTruth(FoundSpeed found, SimulatedFlight flight)
    {
        double truth = flight.Truth.Motors.Single(m => m.Id == found.MotorId).RpmMean;
        Assert.True(found.Rpm is not null, found.MeanRpm.Why?.ToString());
        Assert.True(found.MeanRpm.Ci95!.Value.Contains(truth), $"{found.MotorId}: {truth:0.0} rpm is not in {found.MeanRpm.Ci95}");
        Assert.Equal(truth, found.MeanRpm.Value!.Value, 0.002 * truth);
    }

    private static SpeedSearchResult Find(SimulatedFlight flight, Func<MotorTrack, int, SpeedPrior> lead) =>
        RotorSpeedFinder.Find(flight.Flight.Imu, [flight.Truth.Hover], [.. flight.Flight.Motors.Select(lead)]);

    private static SimulatedFlight Make(double spread, double wander, double rateHz = 600, int[]? orders = null, int seed = 5) =>
        SimulatedFlight.Make(
            new()
            {
                Airframe = DemoAirframes.Ring(4, "four", 3, 0.3, 2),
                Seed = seed,
                HoverRpm = 3600,
                SpeedSpread = spread,
                Wander = wander,
                GroundS = 2,
                HoverS = 40,
                ImuRateHz = rateHz,
                TelemetryLatencyS = 0,
                Rotors =
                [
                    .. Enumerable
                        .Range(0, 4)
                        .Select(_ => new RotorSource([.. (orders ?? [1, 2, 3, 4]).Select(o => new OrderSource(o, 0.6 / o))])),
                ],
            }
        );

    /// <summary>Replaces the vibration of all axes by weak noise and a given signal; the telemetry is unchanged.</summary>
    private static SimulatedFlight Quiet(Func<double, double> more)
    {
        var random = new Random(3);
        ImuTrack imu = s_apart.Flight.Imu;
        double[] Axis() =>
            [.. Enumerable.Range(0, imu.Count).Select(i => 0.1 * (random.NextDouble() - 0.5) + more(imu.Blocks[0].TimeOf(i)))];
        return s_apart with { Flight = s_apart.Flight with { Imu = imu with { AccXMps2 = Axis(), AccYMps2 = Axis(), AccZMps2 = Axis() } } };
    }
}
