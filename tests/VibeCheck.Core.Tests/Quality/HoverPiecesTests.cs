using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Tests.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>Segments of a hover that differ: a fault of the sensor changes all rotors, an event on one arm only one of them.</summary>
[Trait("Category", "Slow")]
public sealed class HoverPiecesTests
{
    private const double At = 30;

    /// <summary>A flight in which some rotors vibrate more from the middle on.</summary>
    private static FlightAnalysis Struck(int[] motors, bool wrongSpeed = false)
    {
        FlightRecipe calm = Trials.Hexa(52) with { HoverS = 60 };
        RotorSource[] rotors = [.. calm.Rotors];
        foreach (int m in motors)
        {
            rotors[m] = new([.. calm.Rotors[m].Orders.Select(o => o with { RmsMps2 = 5 * o.RmsMps2 })]);
        }

        Flight before = SimulatedFlight.Make(calm).Flight,
            after = SimulatedFlight.Make(calm with { Rotors = rotors }).Flight;
        double[] Joined(double[] a, double[] b) => [.. a.Select((v, i) => before.Imu.Blocks[0].TimeOf(i) < At ? v : b[i])];
        ImuTrack imu = before.Imu with
        {
            AccXMps2 = Joined(before.Imu.AccXMps2, after.Imu.AccXMps2),
            AccYMps2 = Joined(before.Imu.AccYMps2, after.Imu.AccYMps2),
            AccZMps2 = Joined(before.Imu.AccZMps2, after.Imu.AccZMps2),
            RateXRadps = Joined(before.Imu.RateXRadps!, after.Imu.RateXRadps!),
            RateYRadps = Joined(before.Imu.RateYRadps!, after.Imu.RateYRadps!),
            RateZRadps = Joined(before.Imu.RateZRadps!, after.Imu.RateZRadps!),
        };
        Flight flight = before with { Imu = imu };
        return FlightCheck.Of(wrongSpeed ? Slowed(flight, motors) : flight, calm.Airframe);
    }

    /// <summary>Reports the speeds of some motors 8 % too low before the middle.</summary>
    private static Flight Slowed(Flight flight, int[] motors) =>
        flight with
        {
            Motors =
            [
                .. flight.Motors.Select(
                    (m, i) =>
                        motors.Contains(i)
                            ? m with
                            {
                                Rpm = new(m.Rpm!.TimeS, [.. m.Rpm.Values.Select((v, k) => m.Rpm.TimeS[k] < At ? 0.92 * v : v)]),
                            }
                            : m
                ),
            ],
        };

    private static bool Disagrees(FlightAnalysis analysis) => analysis.Quality.Any(q => q.Cause is PiecesDisagree);

    [Fact]
    public void A_rotor_that_is_struck_in_flight_is_no_fault_of_the_log() => Assert.False(Disagrees(Struck([2])));

    [Fact]
    public void All_rotors_at_once_are_a_fault_of_the_log() => Assert.True(Disagrees(Struck([0, 1, 2, 3, 4, 5])));

    [Fact]
    public void A_rotor_that_is_not_detected_before_is_no_event_of_the_aircraft() =>
        Assert.Contains(
            Struck([2], wrongSpeed: true).Quality,
            q => q.Effect != QualityEffect.Repaired && q.Affects.HasFlag(Answers.Vibration)
        );
}
