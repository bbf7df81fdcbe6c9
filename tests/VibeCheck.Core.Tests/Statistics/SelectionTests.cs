using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Tests.Statistics;

public sealed class SelectionTests
{
    [Theory]
    [InlineData(1, 10)]
    [InlineData(2, 10)]
    [InlineData(37, 3)]
    [InlineData(1000, 1)]
    [InlineData(1000, 5)]
    [InlineData(1000, 1_000_000)]
    public void Every_rank_is_what_sorting_gives(int count, int different)
    {
        var random = new Random(count + different);
        double[] values = [.. Enumerable.Range(0, count).Select(_ => random.Next(different) / 8.0)];
        double[] sorted = [.. values.Order()];
        for (int rank = 0; rank < count; rank++)
        {
            Assert.Equal(sorted[rank], Selection.Take(values.ToArray(), rank));
        }
    }

    [Fact]
    public void Values_already_in_order_stay_so_at_either_end()
    {
        double[] values = [.. Enumerable.Range(0, 500).Select(i => (double)i)];
        Assert.Equal(0, Selection.Take(values, 0));
        Assert.Equal(499, Selection.Take(values, 499));
        Assert.Equal(250, Selection.Take(values, 250));
    }
}
