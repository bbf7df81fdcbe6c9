using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Flights;

public sealed class PowerTrainTests
{
    private static readonly FlightRecipe s_recipe = Trials.Hexa(63);
    private static readonly SimulatedFlight s_made = SimulatedFlight.Make(s_recipe);

    [Fact]
    public void A_healthy_flight_has_no_drops_and_headroom_above_its_commands()
    {
        PowerTrain power = Of(s_made.Flight);
        Assert.Empty(power.Drops);
        Assert.Equal(6, power.Commands.Count);
        Assert.All(power.Commands, c => Assert.Equal(0, c.Share));
    }

    [Fact]
    public void A_rotor_that_loses_speed_at_a_steady_command_is_seen_with_its_first_drop()
    {
        PowerTrain power = Of(With("M2", t => t with { Rpm = Times(t.Rpm!, 0.8, 30, 30.4, 41, 41.3) }));
        SpeedDrops drops = Assert.Single(power.Drops);
        Assert.Equal(("M2", 2), (drops.Motor, drops.Count));
        Assert.Equal(30, drops.FirstS, 0.1);
        Assert.Equal(0.2, drops.Depth, 0.02);
    }

    [Fact]
    public void A_fall_that_was_commanded_and_a_zero_are_no_drops()
    {
        Assert.Empty(Of(With("M2", t => t with { Rpm = Times(t.Rpm!, 0.8, 30, 30.4), Command = Times(t.Command!, 0.7, 30, 30.4) })).Drops);
        Assert.Empty(Of(With("M2", t => t with { Rpm = Times(t.Rpm!, 0, 30, 30.4) })).Drops);
    }

    [Fact]
    public void One_odd_report_that_a_wide_file_holds_for_many_rows_is_no_drop()
    {
        Flight odd = With("M2", t => t with { Rpm = Times(t.Rpm!, 0.8, 30, 30.04) });
        Flight held = odd with { Motors = [.. odd.Motors.Select(m => m with { Rpm = Held(m.Rpm!) })] };
        Assert.Empty(Of(held).Drops);
    }

    [Fact]
    public void Commands_at_the_end_are_counted()
    {
        PowerTrain power = Of(
            With("M4", t => t with { Command = new(t.Command!.TimeS, [.. t.Command.Values.Select((v, i) => i % 4 == 0 ? 1 : v)]) })
        );
        Assert.Equal(0.25, power.Commands.Single(c => c.Motor == "M4").Share, 0.01);
    }

    [Fact]
    public void Voltage_under_load_is_compared_with_that_before_take_off()
    {
        Series rpm = s_made.Flight.Motors[0].Rpm!;
        Series volts = new(rpm.TimeS, [.. rpm.Values.Select(r => r < 100 ? 25.0 : 22.0)]);
        BatterySag sag = Of(s_made.Flight with { BatteryV = volts }).Sag!;
        Assert.Equal(0.12, sag.Share, 1e-9);
        double inAirS = s_made.Truth.Hover.FromS - 2;
        Series late = new([.. rpm.TimeS.Where(t => t > inAirS)], [.. rpm.Values.Where((_, i) => rpm.TimeS[i] > inAirS).Select(_ => 22.0)]);
        Assert.Null(Of(s_made.Flight with { BatteryV = late }).Sag);
    }

    private static PowerTrain Of(Flight flight) => PowerTrain.Of(flight, s_recipe.Airframe, [s_made.Truth.Hover]);

    // Repeats each report, at 500 rows per second.
    private static Series Held(Series reports)
    {
        double[] timeS = [.. Enumerable.Range(0, (int)(500 * reports.TimeS[^1])).Select(i => i / 500.0).Where(t => t >= reports.TimeS[0])];
        return new(timeS, [.. timeS.Select(t => reports.Values[Math.Max(0, reports.FirstAtOrAfter(t + 1e-9) - 1)])]);
    }

    private static Flight With(string motor, Func<MotorTrack, MotorTrack> change) =>
        s_made.Flight with
        {
            Motors = [.. s_made.Flight.Motors.Select(m => m.MotorId == motor ? change(m) : m)],
        };

    private static Series Times(Series series, double factor, params double[] fromToS) =>
        new(
            series.TimeS,
            [
                .. series.Values.Select(
                    (v, i) =>
                        Enumerable
                            .Range(0, fromToS.Length / 2)
                            .Any(g => series.TimeS[i] >= fromToS[2 * g] && series.TimeS[i] < fromToS[2 * g + 1])
                            ? factor * v
                            : v
                ),
            ]
        );
}
