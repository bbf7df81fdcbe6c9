using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Comparisons;

/// <summary>Uncertainty from the quantisation step of the logged speeds in a rise that is corrected to another speed.</summary>
public sealed class SpeedCorrectionTests
{
    /// <summary>GUM 4.3.7: a value known to within a step has the standard uncertainty step / √12; losses are proportional to the third
    /// power of speed; six motors of two flights are rounded independently (GUM 5.1.2).</summary>
    [Theory]
    [InlineData(500)]
    [InlineData(100)]
    [InlineData(1)]
    public void Speeds_in_steps_leave_three_times_their_rounding_in_a_rise(double stepRpm)
    {
        SpeedCorrection correction = SpeedCorrection.Of(Flights(stepRpm), 1);
        double mean = (5000 + stepRpm + 5000) / 2,
            expected = 3 * stepRpm / Math.Sqrt(12) / mean * Math.Sqrt(2 / 6.0);
        Assert.Equal(1, correction.Factor);
        Assert.Equal(expected, correction.U, tolerance: 1e-12);
    }

    private static FlightSet Flights(double stepRpm)
    {
        Series speeds = new([0, 1, 2, 3], [0, 5000, 5000 + stepRpm, 5000]);
        AnalysedFlight Stepped(string name, bool isAfter)
        {
            AnalysedFlight flight = new MadeFlights().Build(name, isAfter);
            return flight with { Flight = flight.Flight with { Motors = [.. flight.Flight.Motors.Select(m => m with { Rpm = speeds })] } };
        }

        return new([Stepped("before", false)], [Stepped("after", true)]);
    }
}
