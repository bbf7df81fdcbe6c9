using VibeCheck.Core.Orders;

namespace VibeCheck.Core.Tests.Orders;

public sealed class LineLevelTests
{
    private static LineLevel Level(double square, double deviation) =>
        new()
        {
            Square = square,
            Deviation = deviation,
            PerAxis = [square, 0, 0],
            VarianceInflation = 1,
        };

    [Fact]
    public void A_hover_measured_completely_has_the_uncertainty_of_its_segments_alone()
    {
        var level = LineLevel.Over([Level(1, 0.3), Level(3, 0.4)], [0.5, 0.5], leftOut: 0);
        Assert.Equal(2, level.Square);
        Assert.Equal(0.25, level.Deviation, 1e-12);
    }

    [Fact]
    public void Parts_left_out_may_differ_as_much_as_the_measured_ones()
    {
        // W. Cochran, Sampling Techniques (from memory): the variance of the mean of n of N is (1 - n/N) s²/n. Calculated by hand: n = 4
        // values 1, 2, 3, 4 of N = 16, s² = 5/3: 0.75 · 5/3 / 4 = 0.3125.
        var level = LineLevel.Over([Level(1, 0), Level(2, 0), Level(3, 0), Level(4, 0)], [0.25, 0.25, 0.25, 0.25], leftOut: 0.75);
        Assert.Equal(2.5, level.Square);
        Assert.Equal(Math.Sqrt(0.3125), level.Deviation, 1e-12);
    }

    [Fact]
    public void Parts_that_differ_by_no_more_than_their_own_uncertainty_add_none()
    {
        var level = LineLevel.Over([Level(1, 0.5), Level(1.2, 0.5)], [0.5, 0.5], leftOut: 0.8);
        Assert.Equal(Math.Sqrt(0.125), level.Deviation, 1e-12);
    }
}
