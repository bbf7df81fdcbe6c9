using VibeCheck.Core.Orders;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Orders;

public sealed class MeasuredTimeTests
{
    [Fact]
    public void A_hover_of_two_minutes_is_measured_completely()
    {
        TimeInterval[] hover = [new(10, 70), new(80, 140)];
        Assert.Equal(hover, MeasuredTime.Of(hover));
        Assert.Equal(0, MeasuredTime.LeftOut(hover));
    }

    [Fact]
    public void A_long_hover_is_measured_on_four_parts_from_the_middle_of_each_quarter()
    {
        // 800 s in two segments with 100 s between them: quarters of 200 s, of which the middle 30 s are measured.
        TimeInterval[] hover = [new(0, 500), new(600, 900)];
        Assert.Equal([new(85, 115), new(285, 315), new(485, 500), new(600, 615), new(785, 815)], MeasuredTime.Of(hover));
        Assert.Equal(0.85, MeasuredTime.LeftOut(hover), 1e-12);
    }
}
