using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Flights;

public sealed class FlightAnalysisTests
{
    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(21)]
    [InlineData(22)]
    public void Split_and_load_shares_come_out_as_made(int seed)
    {
        SimulatedFlight made = SimulatedFlight.Make(Trials.Hexa(seed) with { TiltAcrossDeg = [0.4, 0, 0.5, 0, 0.3, 0] });
        FlightAnalysis analysis = FlightCheck.Of(made.Flight, made.Recipe.Airframe);

        Assert.Equal(made.Truth.Split, analysis.YawTrim.Split.Value!.Value, 0.003);
        Assert.InRange(analysis.YawTrim.Split.Ci95!.Value.Width, 1e-5, 0.01);
        Assert.Equal(YawTrimSource.Rpm, analysis.YawTrim.From);
        foreach ((MotorTruth truth, MotorAnalysis motor) in made.Truth.Motors.Zip(analysis.Motors))
        {
            Assert.Equal(truth.LoadShare, motor.LoadShare.Value!.Value, 0.01);
            Assert.Equal(truth.RpmMean, motor.RpmMean.Value!.Value, 10.0);
        }
    }

    [Theory]
    [InlineData("normal-1", 1.118)]
    [InlineData("normal-2", 1.115)]
    [InlineData("normal-3", 1.118)]
    [InlineData("weight-near-motor3-1", 1.169)]
    [InlineData("weight-near-motor3-2", 1.183)]
    [InlineData("weight-near-motor3-3", 1.174)]
    public void Motor_3_of_the_recorded_flights_carries_its_share(string name, double share)
    {
        Flight flight = RealFlights.Read(name);

        // From the README of the flights: mean command of motor 3 over the mean of the four, for the time above 60 % of the greatest
        // height.
        FlightAnalysis same = FlightCheck.Of(flight, RealFlights.Airframe, new() { HoverSegments = AboveSixTenths(flight.HeightM!) });
        Assert.Equal(share, same.Motors[2].LoadShare.Value!.Value, 0.001);

        // The detected hover excludes climbs and landings, where motor 3 carries up to 0.015 more or less.
        FlightAnalysis analysis = FlightCheck.Of(flight, RealFlights.Airframe);
        Assert.Equal(share, analysis.Motors[2].LoadShare.Value!.Value, 0.02);
        Assert.Equal(YawTrimSource.Command, analysis.YawTrim.From);
        Assert.All(analysis.Motors, m => Assert.Null(m.RpmMean.Value));
    }

    private static List<TimeInterval> AboveSixTenths(Series heightM)
    {
        double limit = 0.6 * heightM.Values.Max();
        List<TimeInterval> segments = [];
        for (int i = 0; i < heightM.Count; i++)
        {
            int first = i;
            while (i < heightM.Count && heightM.Values[i] > limit)
            {
                i++;
            }

            if (i > first)
            {
                segments.Add(new(heightM.TimeS[first], heightM.TimeS[i - 1]));
            }
        }

        return segments;
    }
}
