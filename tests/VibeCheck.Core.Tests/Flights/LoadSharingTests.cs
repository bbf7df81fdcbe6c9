using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Hovers;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Flights;

public sealed class LoadSharingTests
{
    [Fact]
    [Trait("Category", "Slow")]
    public void Split_and_shares_come_out_within_their_stated_accuracy_on_a_dozen_different_flights()
    {
        Random random = new(20261125);
        for (int i = 0; i < 12; i++)
        {
            Airframe airframe =
                i % 4 == 3 ? DemoAirframes.Coaxial(4, "Trial", 6, 0.4, 2) : DemoAirframes.Ring(4 + i % 3 * 2, "Trial", 5, 0.4, 2);
            int motors = airframe.Motors.Count;
            SimulatedFlight made = SimulatedFlight.Make(
                Trials.Hexa(7000 + i, 20 + 40 * random.NextDouble()) with
                {
                    Airframe = airframe,
                    ImuRateHz = 100,
                    Rotors = Trials.Rotors(motors, 0.5),
                    TiltAcrossDeg = [.. Enumerable.Range(0, motors).Select(_ => 0.5 * (random.NextDouble() - 0.3))],
                    Wander = 0.002 + 0.012 * random.NextDouble(),
                    TelemetryHz = 10 + 40 * random.NextDouble(),
                    TelemetryNoiseRpm = 10 * random.NextDouble(),
                    TelemetryLatencyS = 0.1 * random.NextDouble(),
                }
            );
            IReadOnlyList<TimeInterval> hover = HoverFinder.Find(made.Flight).Segments;
            LoadSharing sharing = LoadSharing.Of(made.Flight, airframe, hover, MotorSamples.Of(made.Flight, airframe, hover, t => t.Rpm));
            Assert.Equal(made.Truth.Split, sharing.Trim().Split.Value!.Value, 0.003);
            Assert.All(made.Truth.Motors, m => Assert.Equal(m.LoadShare, sharing.Share(m.Id).Value!.Value, 0.006));
        }
    }
}
