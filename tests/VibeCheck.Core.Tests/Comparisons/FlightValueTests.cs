using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Tests.Comparisons;

public class FlightValueTests
{
    // Without an interval the error of a quantity may have any size; treating it as exact gave calls from the chance result of two windows.
    [Fact]
    public void An_amount_without_an_interval_is_compared_with_nothing()
    {
        var amount = Estimate.WithoutInterval(1.2, new HoverTooShortForInterval(IndependentValues.Windows));
        Assert.Null(FlightValue.Plain(amount));
        Assert.Null(FlightValue.InDb(amount));
    }

    [Fact]
    public void The_standard_uncertainty_is_half_the_interval_over_1_96()
    {
        FlightValue value = FlightValue.Plain(Estimate.Around(1.2, 0.196))!.Value;
        Assert.Equal((1.2, 0.1), (value.Value, Math.Round(value.U, 12)));
    }
}
