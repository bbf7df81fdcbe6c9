using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Tests;

public sealed class IntervalTests
{
    [Fact]
    public void An_interval_whose_ends_are_swapped_cannot_be_built() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new Interval(2, 1));
}
