using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals.Orders;

namespace VibeCheck.Core.Tests.Signals.Orders;

public sealed class MeasuredTimeTests
{
    [Fact]
    public void A_hover_of_four_minutes_is_measured_whole()
    {
        Segment[] hover = [new(10, 130), new(140, 260)];
        Assert.Equal(hover, MeasuredTime.Of(hover));
    }

    [Fact]
    public void A_long_hover_is_measured_on_four_parts_from_the_middle_of_each_quarter()
    {
        // 800 s in two segments with 100 s between them: quarters of 200 s, the middle 60 s of each.
        Segment[] hover = [new(0, 500), new(600, 900)];
        Assert.Equal([new(70, 130), new(270, 330), new(470, 500), new(600, 630), new(770, 830)], MeasuredTime.Of(hover));
    }
}
