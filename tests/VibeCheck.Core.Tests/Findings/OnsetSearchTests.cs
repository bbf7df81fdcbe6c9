using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tests.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Findings;

/// <summary>Onset of a finding within the flight.</summary>
public sealed class OnsetSearchTests
{
    [Theory]
    [InlineData(4, 12)]
    [InlineData(4, 25)]
    [InlineData(10, 37)]
    public void A_step_is_found_at_its_place(double factor, int at)
    {
        double[] power = [.. Powers(7, 40, 40).Select((p, i) => i < at ? p : factor * p)];
        Assert.InRange(PowerStep.Up(power)!.Value, at - 1, at + 1);
    }

    [Fact]
    public void Noise_alone_shows_a_step_in_fewer_than_one_of_a_hundred_flights()
    {
        // Power of a line in a window: the mean of some independent squares, with a slow variation of a tenth.
        int found = Enumerable.Range(0, 1000).Count(seed => PowerStep.Up([.. Powers(seed, 40, 6)]) is not null);
        Assert.True(found < 10, $"{found} of 1000");
    }

    [Fact]
    public void Less_power_later_or_too_few_windows_is_no_onset()
    {
        Assert.Null(PowerStep.Up([.. Powers(3, 40, 40).Select((p, i) => i < 20 ? 8 * p : p)]));
        Assert.Null(PowerStep.Up([1, 1, 9, 9, 9]));
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_rotor_that_begins_to_vibrate_in_flight_is_located_in_time()
    {
        // The same flight twice, with order 1 of M3 small and large; the second is used from 30 s on.
        const double At = 30;
        FlightRecipe calm = Trials.Hexa(52) with { HoverS = 60 };
        List<RotorSource> rotors = [.. calm.Rotors];
        rotors[2] = new([new(1, 2.2), .. calm.Rotors[2].Orders.Skip(1)]);
        SimulatedFlight before = SimulatedFlight.Make(calm),
            after = SimulatedFlight.Make(calm with { Rotors = rotors });
        ImuTrack imu = before.Flight.Imu,
            later = after.Flight.Imu;
        double[] Joined(double[] a, double[] b) => [.. a.Select((v, i) => imu.Blocks[0].TimeOf(i) < At ? v : b[i])];
        Flight flight = before.Flight with
        {
            Imu = imu with
            {
                AccXMps2 = Joined(imu.AccXMps2, later.AccXMps2),
                AccYMps2 = Joined(imu.AccYMps2, later.AccYMps2),
                AccZMps2 = Joined(imu.AccZMps2, later.AccZMps2),
            },
        };

        FlightAnalysis analysis = FlightCheck.Of(flight, calm.Airframe),
            steady = FlightCheck.Of(after.Flight, calm.Airframe);
        Assert.Equal(At, OnsetSearch.OfOrder(analysis, "M3", 1)!.Value, tolerance: 3);
        Assert.All(["M1", "M2", "M4", "M5", "M6"], m => Assert.Null(OnsetSearch.OfOrder(analysis, m, 2)));
        Assert.Null(OnsetSearch.OfOrder(steady, "M3", 1));
    }

    private static IEnumerable<double> Powers(int seed, int count, int squares)
    {
        var random = new Random(seed);
        for (int i = 0; i < count; i++)
        {
            double sum = 0;
            for (int k = 0; k < squares; k++)
            {
                sum += Math.Pow(Gauss(random), 2) / squares;
            }

            yield return sum * (1 + 0.1 * Math.Sin(i / 9.0));
        }
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
}
