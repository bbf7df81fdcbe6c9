using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Flights.Temperatures;

public class TemperatureFitTests
{
    private static readonly TimeInterval[] Hover = [new(20, 200)];

    // Heat balances solved by hand: in the steady state a load of 1 heats the case to (1 - share) R and the winding to R. Here R is 30 °C,
    // share 0.3; the rates of the exact solution are those of [[-1/τ_in, 1/τ_in], [(1-s)/(s τ_out), -1/(s τ_out)]].
    [Fact]
    public void Two_bodies_reach_the_steady_state_of_their_heat_balances()
    {
        const double riseC = 30,
            share = 0.3,
            insideS = 12,
            caseS = 80;
        double a = -1 / insideS,
            b = 1 / insideS,
            c = (1 - share) / (share * caseS),
            d = -1 / (share * caseS);
        double root = Math.Sqrt((a - d) * (a - d) / 4 + b * c),
            slow = (a + d) / 2 + root,
            quick = (a + d) / 2 - root;
        // From a cold start, T_in(0) = 0 and dT_in/dt (0) = share R / τ_in: two conditions for the two exponential terms.
        double slowC = (share * riseC / insideS + quick * riseC) / (quick - slow),
            quickC = riseC - slowC;
        Series temp = Made(t => 20 + riseC - slowC * Math.Exp(slow * t) - quickC * Math.Exp(quick * t), 240);
        TemperatureRise rise = TemperatureFit.Fit(temp, Made(_ => 1, 240), 20, [new(0, 240)]);
        Assert.Equal(riseC, rise.RiseSteadyC.Value!.Value, tolerance: 0.15);
        Assert.True(rise.RiseSteadyC.Ci95!.Value.Contains(riseC));
        Assert.Equal(-1 / slow, rise.TauS!.Value, tolerance: 0.05 * -1 / slow);
    }

    [Fact]
    public void A_step_that_is_known_exactly_gives_rise_and_time_constant()
    {
        // Newton's law of cooling: T = 20 + 30 (1 - exp(-t/60)), sampled every second without rounding.
        Series temp = Made(t => 20 + 30 * (1 - Math.Exp(-t / 60)), 200);
        TemperatureRise rise = TemperatureFit.Fit(temp, Made(_ => 1, 200), 20, Hover);
        Assert.Equal(30, rise.RiseSteadyC.Value!.Value, tolerance: 0.1);
        Assert.Equal(60, rise.TauS!.Value, tolerance: 1);
        Assert.True(rise.Reached);
    }

    [Fact]
    public void Warmth_of_an_earlier_flight_does_not_count_as_rise()
    {
        Series cold = Made(t => 20 + 30 * (1 - Math.Exp(-t / 60)), 200),
            warm = Made(t => 20 + 30 + (12 - 30) * Math.Exp(-t / 60), 200);
        double a = TemperatureFit.Fit(cold, Made(_ => 1, 200), 20, Hover).RiseSteadyC.Value!.Value;
        double b = TemperatureFit.Fit(warm, Made(_ => 1, 200), 20, Hover).RiseSteadyC.Value!.Value;
        Assert.Equal(a, b, tolerance: 0.3);
    }

    [Fact]
    public void A_record_that_ends_early_is_not_called_reached()
    {
        Series temp = Made(t => 20 + 30 * (1 - Math.Exp(-t / 90)), 90);
        Assert.False(TemperatureFit.Fit(temp, Made(_ => 1, 90), 20, [new(5, 90)]).Reached);
    }

    [Fact]
    public void Without_ambient_the_rise_is_unknown_and_says_why()
    {
        TemperatureRise rise = TemperatureFit.Fit(Made(t => 20 + t / 10, 100), Made(_ => 1, 100), null, Hover);
        Assert.False(rise.RiseSteadyC.IsKnown);
        Assert.Equal(new AmbientUnknown(), rise.RiseSteadyC.Why);
    }

    [Fact]
    public void Too_little_telemetry_is_unknown_and_says_why()
    {
        Assert.Equal(new TemperatureRecordTooShort(SpanS: 30, LeastS: 45), WhyNot(31));
        Assert.Equal(new NoTemperatureReadings(), WhyNot(0));

        static Reason? WhyNot(int seconds) => TemperatureFit.Fit(Made(t => 20 + t, seconds), Made(_ => 1, 100), 20, Hover).RiseSteadyC.Why;
    }

    [Fact]
    public void A_stuck_sensor_is_unknown_and_says_where_it_stuck() =>
        Assert.Equal(new TemperatureFrozen(25), TemperatureFit.Fit(Made(_ => 25, 200), Made(_ => 1, 200), 20, Hover).RiseSteadyC.Why);

    [Fact]
    public void Telemetry_with_a_gap_is_fitted_around_it()
    {
        double[] times = [.. Enumerable.Range(0, 201).Where(i => i is < 80 or > 120).Select(i => (double)i)];
        Series temp = new(times, Array.ConvertAll(times, t => Math.Round(20 + 30 * (1 - Math.Exp(-t / 60)))));
        Assert.Equal(30, TemperatureFit.Fit(temp, Made(_ => 1, 200), 20, Hover).RiseSteadyC.Value!.Value, tolerance: 0.8);
    }

    [Fact]
    public void Load_prefers_speed_cubed_then_current_squared_then_command()
    {
        Series ramp = Made(t => 1 + t, 3);
        TimeInterval[] all = [new(0, 3)];
        // Means over 1, 2, 3: squares 14/3, cubes 12.
        Assert.Equal(
            27 / 12.0,
            Load.Of(
                new MotorTrack
                {
                    MotorId = "M1",
                    CurrentA = ramp,
                    Rpm = ramp,
                },
                all
            )!.Values[2],
            tolerance: 1e-12
        );
        Assert.Equal(9 / (14 / 3.0), Load.Of(new MotorTrack { MotorId = "M1", CurrentA = ramp }, all)!.Values[2], tolerance: 1e-12);
        Assert.Equal(
            27 / 12.0,
            Load.Of(
                new MotorTrack
                {
                    MotorId = "M1",
                    Rpm = ramp,
                    Command = ramp,
                },
                all
            )!.Values[2],
            tolerance: 1e-12
        );
        Assert.Equal(9 / (14 / 3.0), Load.Of(new MotorTrack { MotorId = "M1", Command = ramp }, all)!.Values[2], tolerance: 1e-12);
        Assert.Null(Load.Of(new MotorTrack { MotorId = "M1" }, all));
        Assert.Null(Load.Of(new MotorTrack { MotorId = "M1", Rpm = Made(_ => 0, 3) }, all));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Where_the_speed_freezes_the_load_continues_by_the_current_or_the_command(bool byCurrent)
    {
        // Hover to 100 s, then landed; speed is logged only up to 40 s. The current rises as the battery empties.
        Series speed = Made(_ => 3000, 40),
            current = Made(t => t <= 100 ? 5 + 0.02 * t : 0, 160),
            command = Made(t => t <= 100 ? 50 : 0, 160);
        MotorTrack track = new()
        {
            MotorId = "M1",
            Rpm = speed,
            CurrentA = byCurrent ? current : null,
            Command = command,
        };
        Series load = Load.Of(track, [new(0, 40)])!;
        Assert.Equal(1, load.At(20), tolerance: 1e-12);
        Assert.Equal(1, load.At(50), tolerance: byCurrent ? 0.06 : 1e-12);
        Assert.Equal(0, load.At(130));
        Assert.All(load.TimeS.Zip(load.TimeS.Skip(1)), pair => Assert.True(pair.Second > pair.First));

        Series alone = Load.Of(track with { CurrentA = null, Command = null }, [new(0, 40)])!;
        Assert.Equal(speed.TimeS, alone.TimeS);
    }

    [Fact]
    public void Between_known_speeds_the_load_follows_the_current_and_agrees_with_both()
    {
        double[] times = [.. Enumerable.Range(0, 201).Where(i => i is < 60 or > 120).Select(i => (double)i)];
        MotorTrack track = new()
        {
            MotorId = "M1",
            Rpm = new(times, Array.ConvertAll(times, _ => 3000.0)),
            CurrentA = Made(t => (t is > 80 and < 100 ? 2 : 1) * (5 + 0.02 * t), 200),
        };
        Series load = Load.Of(track, [new(0, 200)])!;
        Assert.Equal(1, load.At(61), tolerance: 0.03);
        Assert.Equal(2, load.At(90), tolerance: 0.05);
        Assert.Equal(1, load.At(119), tolerance: 0.03);
    }

    [Fact]
    public void Ambient_comes_from_a_cold_start_on_which_all_units_agree()
    {
        MotorTrack[] tracks = [Unit("M1", 0, 21, 22), Unit("M2", 0, 21, 21)];
        Assert.Equal(21, Ambient.FromColdStart(tracks).Value);
    }

    [Fact]
    public void Ambient_is_unknown_where_units_disagree_or_motors_turn()
    {
        Assert.Equal(new AmbientUnitsNotCold(9), Ambient.FromColdStart([Unit("M1", 0, 21, 30), Unit("M2", 0, 21, 21)]).Why);
        Assert.Equal(new AmbientMotorsTurning(), Ambient.FromColdStart([Unit("M1", 3000, 21, 21), Unit("M2", 3000, 21, 21)]).Why);
    }

    private static Series Made(Func<double, double> of, int seconds)
    {
        double[] times = [.. Enumerable.Range(0, seconds).Select(i => (double)i)];
        return new(times, Array.ConvertAll(times, t => of(t)));
    }

    private static MotorTrack Unit(string id, double rpm, double motorC, double escC) =>
        new()
        {
            MotorId = id,
            Rpm = Made(_ => rpm, 5),
            MotorTempC = Made(_ => motorC, 5),
            EscTempC = Made(_ => escC, 5),
        };
}
