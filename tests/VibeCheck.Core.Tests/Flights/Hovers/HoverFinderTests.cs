using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Flights.Hovers;

public sealed class HoverFinderTests
{
    public static TheoryData<string> Sources => ["rpm", "command", "current", "imu"];

    [Theory]
    [Trait("Category", "Slow")]
    [MemberData(nameof(Sources))]
    public void Hover_is_found_from_whatever_the_log_has(string source)
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(11) with { ManoeuvresAtS = [28] });
        HoverTime hover = HoverFinder.Find(Only(made.Flight, source));

        // The manoeuvre from 28 to 31 s is excluded, except for its weak ends; so are climb and landing (simulated hover 10 to 50 s).
        Assert.All(hover.Segments, s => Assert.InRange(s.FromS, made.Truth.Hover.FromS - 0.6, made.Truth.Hover.ToS));
        Assert.All(hover.Segments, s => Assert.InRange(s.ToS, made.Truth.Hover.FromS, made.Truth.Hover.ToS + 0.6));
        Assert.InRange(hover.SecondsUsed, 30, 40.1);
        if (source != "imu")
        {
            Assert.DoesNotContain(hover.Segments, s => s.FromS < 28.8 && s.ToS > 28.8);
            Assert.DoesNotContain(hover.Segments, s => s.FromS < 30.2 && s.ToS > 30.2);
        }
    }

    [Fact]
    public void Motors_that_never_run_give_no_hover_and_say_so()
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(12, hoverS: 10));
        Flight standing = made.Flight with
        {
            Motors = [.. made.Flight.Motors.Select(m => m with { Rpm = Zeros(m.Rpm!), Command = null, CurrentA = null })],
            Imu = Still(made.Flight.Imu),
        };
        HoverTime hover = HoverFinder.Find(standing);
        Assert.Empty(hover.Segments);
        Assert.IsType<NoFlightInVibration>(hover.Why);
    }

    [Fact]
    public void A_flight_that_is_all_climb_and_landing_has_no_hover()
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(13, hoverS: 0.5) with { GroundS = 3 });
        Assert.Empty(HoverFinder.Find(made.Flight).Segments);
    }

    [Fact]
    public void Where_one_quantity_leaves_no_hover_it_is_named_instead_of_the_load()
    {
        Flight flight = SimulatedFlight.Make(Trials.Hexa(15, hoverS: 12)).Flight;
        ImuTrack imu = flight.Imu;

        // Rotation at one radian per second for 0.4 s of every second, which no real aircraft does.
        double[] jumping = [.. Enumerable.Range(0, imu.Count).Select(i => i / imu.RateHz % 1 < 0.6 ? 0.0 : 1.0)];
        HoverTime hover = HoverFinder.Find(
            flight with
            {
                Imu = imu with { RateXRadps = new double[imu.Count], RateYRadps = new double[imu.Count], RateZRadps = jumping },
            }
        );
        NoSteadyHover none = Assert.IsType<NoSteadyHover>(hover.Why);
        Assert.Equal(HoverCriterion.NoTurn, none.Unmet);
        Assert.InRange(none.UnmetShare, 0.3, 0.7);
    }

    [Fact]
    public void Hover_is_taken_from_the_part_of_the_flight_that_was_given_and_from_no_other()
    {
        Flight flight = SimulatedFlight.Make(Trials.Hexa(14)).Flight;
        HoverTime whole = HoverFinder.Find(flight),
            part = HoverFinder.Find(flight with { HoverWithin = new(20, 35) });
        Assert.Equal(
            whole.Segments.Sum(s => Math.Max(0, Math.Min(s.ToS, 35) - Math.Max(s.FromS, 20))),
            part.SecondsUsed,
            HoverFinder.ShortestS
        );
        Assert.All(part.Segments, s => Assert.True(s.FromS >= 20 && s.ToS <= 35));
        Assert.Equal(new HoverNarrowed(20, 35, whole.Why), part.Why);
        Assert.Equal(new NoHoverWithin(0, 1, HoverFinder.ShortestS), HoverFinder.Find(flight with { HoverWithin = new(0, 1) }).Why);
    }

    [Fact]
    public void No_segment_spans_a_long_gap()
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(14) with { ImuGaps = [(25, 27.5)] });
        HoverTime hover = HoverFinder.Find(made.Flight);
        Assert.DoesNotContain(hover.Segments, s => s.FromS < 26 && s.ToS > 26);
        Assert.InRange(hover.SecondsUsed, 30, 40.1);
    }

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(0)]
    [InlineData(3)]
    public void Single_messages_of_nonsense_do_not_cut_a_hover(double times)
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(15));
        Flight flight = made.Flight with
        {
            Motors =
            [
                .. made.Flight.Motors.Select(m =>
                    m with
                    {
                        Rpm = new(m.Rpm!.TimeS, [.. m.Rpm.Values.Select((v, i) => i % 37 == 0 ? times * v : v)]),
                    }
                ),
            ],
        };
        HoverTime hover = HoverFinder.Find(flight);
        Assert.InRange(hover.SecondsUsed, 37, 40);
        MotorSamples speeds = MotorSamples.Of(flight, made.Recipe.Airframe, hover.Segments, t => t.Rpm);
        Assert.Equal(
            made.Truth.Split,
            LoadSharing.Of(flight, made.Recipe.Airframe, hover.Segments, speeds).Trim().Split.Value!.Value,
            0.003
        );
    }

    [Theory]
    [InlineData("normal-1")]
    [InlineData("normal-2")]
    [InlineData("normal-3")]
    [InlineData("weight-near-motor3-1")]
    [InlineData("weight-near-motor3-2")]
    [InlineData("weight-near-motor3-3")]
    public void Both_hovers_of_a_short_recorded_flight_are_found(string name)
    {
        HoverTime hover = HoverFinder.Find(RealFlights.Read(name));

        // According to the height in these files the aircraft hovers for about 6 s from 4.5 s on, and again from 18.5 s to 25 s; in between
        // it is on the ground.
        Assert.InRange(hover.SecondsUsed, 6, 13.5);
        Assert.All(hover.Segments, s => Assert.True((s.FromS > 4.2 && s.ToS < 11.2) || (s.FromS > 18 && s.ToS < 25.3), $"{s}"));
        Assert.Contains(hover.Segments, s => s.ToS < 12);
        Assert.Contains(hover.Segments, s => s.FromS > 17);
    }

    private static Flight Only(Flight flight, string source) =>
        flight with
        {
            Motors =
                source == "imu"
                    ? []
                    :
                    [
                        .. flight.Motors.Select(m => new MotorTrack
                        {
                            MotorId = m.MotorId,
                            Rpm = source == "rpm" ? m.Rpm : null,
                            Command = source == "command" ? m.Command : null,
                            CurrentA = source == "current" ? m.CurrentA : null,
                        }),
                    ],
        };

    private static Series Zeros(Series series) => new(series.TimeS, new double[series.Count]);

    private static ImuTrack Still(ImuTrack imu)
    {
        Random random = new(5);
        double[] noise = Array.ConvertAll(imu.AccXMps2, _ => 0.01 * random.NextDouble());
        return imu with { AccXMps2 = noise, AccYMps2 = noise, AccZMps2 = Array.ConvertAll(noise, v => v - 9.81) };
    }
}
