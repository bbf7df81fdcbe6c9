using VibeCheck.Core.Airframes;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Tests.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Findings;

public sealed class FlightFindingsTests
{
    [Fact]
    [Trait("Category", "Slow")]
    public void A_healthy_aircraft_has_no_findings() => Assert.Empty(FindingsOf(Trials.Hexa(51)));

    [Fact]
    [Trait("Category", "Slow")]
    public void A_motor_that_vibrates_once_per_turn_is_named_with_a_partner_to_swap_with()
    {
        FlightRecipe recipe = Trials.Hexa(52) with { SpeedSpread = 0.01 };
        List<RotorSource> rotors = [.. recipe.Rotors];
        rotors[2] = new([new(1, 2.2), new(2, 0.5), new(4, 0.2)]);
        Finding finding = Assert.Single(FindingsOf(recipe with { Rotors = rotors }));
        Assert.Equal("order-1-stands-out", finding.Code);
        Assert.Equal("M3", finding.Motor);
        var cause = Assert.IsType<OrderOneStandsOut>(finding.Cause);
        Assert.Contains(cause.SwapWith, (string[])["M1", "M5"]);
        Assert.True(cause.UnbalanceGmm > 0);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Mounts_tilted_to_one_side_show_as_yaw_trim()
    {
        Finding finding = Assert.Single(FindingsOf(Trials.Hexa(53) with { TiltAcrossDeg = [0.4, 0, 0.5, 0, 0.4, 0] }));
        Assert.Equal("yaw-trim", finding.Code);
        Assert.Equal(Severity.Act, finding.Severity);
        Assert.Equal(Spin.Clockwise, Assert.IsType<OneSpinTurnsFaster>(finding.Cause).Faster);
    }

    [Fact]
    public void A_battery_moved_aft_shows_as_centre_of_gravity()
    {
        FlightRecipe recipe = Trials.Hexa(54) with { GravityForwardM = -0.04 };
        SimulatedFlight made = SimulatedFlight.Make(recipe);
        FlightAnalysis analysis = FlightCheck.Of(made.Flight, recipe.Airframe);

        // Propellers that differ by 0.4 % in thrust (one standard deviation here) shift it by about half a millimetre.
        Assert.Equal(-0.04, analysis.GravityOffset!.ForwardM.Value!.Value, 0.003);
        Assert.Equal(0, analysis.GravityOffset.RightM.Value!.Value, 0.003);
        Finding finding = Assert.Single(analysis.Findings, f => f.Code == "centre-of-gravity");
        var offset = Assert.IsType<GravityOffHub>(finding.Cause);
        Assert.True(offset.ForwardM < -offset.LeastM && Math.Abs(offset.RightM) < offset.LeastM);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_motor_hotter_than_its_load_is_named()
    {
        FlightRecipe recipe = Trials.Hexa(55, hoverS: 120) with { MotorRiseC = [25, 25, 25, 44, 25, 25] };
        Finding finding = Assert.Single(FindingsOf(recipe));
        Assert.Equal(("hot-motor", "M4", Severity.Act), (finding.Code, finding.Motor, finding.Severity));
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Telemetry_with_dropouts_is_named()
    {
        FlightRecipe recipe = Trials.Hexa(56);
        Flight flight = SimulatedFlight.Make(recipe).Flight;
        MotorTrack[] tracks = [.. flight.Motors];
        tracks[1] = tracks[1] with { Rpm = Without(tracks[1].Rpm!, 20, 20.6, 30, 30.5, 40, 40.7) };
        Finding finding = Assert.Single(FlightCheck.Of(flight with { Motors = tracks }, recipe.Airframe).Findings);
        Assert.Equal(("loose-telemetry", "M2"), (finding.Code, finding.Motor));
    }

    [Fact]
    public void A_slow_logger_and_a_clipping_sensor_are_reported()
    {
        Flight flight = RealFlights.Read("normal-1");
        flight = flight with { Input = flight.Input with { Imu = flight.Input.Imu with { ClippedSamples = 40 } } };
        string[] codes = [.. FlightCheck.Of(flight, RealFlights.Airframe).Findings.Select(f => f.Code).Order()];
        Assert.Equal(["clipping", "slow-logger"], codes);
    }

    private static IReadOnlyList<Finding> FindingsOf(FlightRecipe recipe) =>
        FlightCheck.Of(SimulatedFlight.Make(recipe).Flight, recipe.Airframe).Findings;

    private static Series Without(Series series, params double[] fromToS)
    {
        int[] kept =
        [
            .. Enumerable
                .Range(0, series.Count)
                .Where(i =>
                    !Enumerable
                        .Range(0, fromToS.Length / 2)
                        .Any(g => series.TimeS[i] > fromToS[2 * g] && series.TimeS[i] < fromToS[2 * g + 1])
                ),
        ];
        return new([.. kept.Select(i => series.TimeS[i])], [.. kept.Select(i => series.Values[i])]);
    }
}
