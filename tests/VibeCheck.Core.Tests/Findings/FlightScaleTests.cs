using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tests.Flights;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Findings;

public sealed class FlightScaleTests
{
    private static readonly Lazy<FlightAnalysis> s_hexa = new(() =>
        FlightCheck.Of(SimulatedFlight.Make(Trials.Hexa(64)).Flight, Trials.Hexa(64).Airframe)
    );

    [Fact]
    public void A_single_flight_is_compared_with_common_practice()
    {
        ScaleReading rotors = FlightScale.Of(With(2), []).Single(r => r.Quantity == ScaleQuantity.RotorVibration);
        Assert.Equal(ScaleBasis.CommonPractice, rotors.Basis);
        Assert.Equal(ScalePlace.Usual, rotors.Place);
        Assert.Null(rotors.Percentile);
        Assert.Equal(ScalePlace.VeryHigh, FlightScale.Of(With(20), []).Single(r => r.Quantity == ScaleQuantity.RotorVibration).Place);
    }

    [Fact]
    public void Four_earlier_flights_make_a_scale_of_their_own()
    {
        FlightAnalysis[] earlier = [With(1), With(2), With(3), With(4)];
        ScaleReading rotors = FlightScale.Of(With(3), earlier).Single(r => r.Quantity == ScaleQuantity.RotorVibration);

        // Two of four are lower and one is equal, which counts half.
        Assert.Equal(ScaleBasis.OwnFlights, rotors.Basis);
        Assert.Equal(62.5, rotors.Percentile);
        Assert.Equal(4, rotors.Flights);
        Assert.Null(rotors.Place);
        Assert.Equal(
            ScaleBasis.CommonPractice,
            FlightScale.Of(With(3), [.. earlier.Take(3)]).Single(r => r.Quantity == ScaleQuantity.RotorVibration).Basis
        );
    }

    [Fact]
    public void Unknown_values_are_not_on_the_scale()
    {
        FlightAnalysis unknown = s_hexa.Value with { RotorVibrationMps2 = Estimate.Unknown(new OrderOneNotMeasured()) };
        Assert.DoesNotContain(FlightScale.Of(unknown, []), r => r.Quantity == ScaleQuantity.RotorVibration);
    }

    private static FlightAnalysis With(double rotorsMps2) => s_hexa.Value with { RotorVibrationMps2 = Estimate.Around(rotorsMps2, 0.1) };
}
