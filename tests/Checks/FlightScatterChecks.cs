using VibeCheck.Core.Comparisons;

namespace VibeCheck.Checks;

/// <summary>Scatter from flight to flight: the analysis of variance of JCGM 100:2008 (GUM).</summary>
public sealed class FlightScatterChecks
{
    // GUM H.5: 10 days, means 10 V plus some µV, and the standard deviation of 5 readings in each. Between-day component 43 µV; standard
    // uncertainty of the grand mean 18 µV. Here days are flights of one side, with an allowance of 0 so that the flights alone determine
    // the result.
    [Fact]
    public void Flights_show_their_scatter_as_days_do_in_the_analysis_of_variance()
    {
        double[] means = [172, 116, 13, 144, 106, 31, 60, 125, 163, 41],
            deviations = [60, 77, 111, 101, 67, 93, 80, 73, 88, 86];
        FlightValue[] days = [.. means.Zip(deviations, (m, s) => new FlightValue(m, s / Math.Sqrt(5)))];
        FlightValues both = new(days, days, null);
        FlightScatter scatter = FlightScatter.Of(0, [new FlightValues(days, [days[0]], null)]);
        Assert.Equal(43, scatter.Sigma, 0.5);
        Assert.Equal(18, Change.Of(both, scatter)!.StandardError / Math.Sqrt(2), 0.5);
    }
}
