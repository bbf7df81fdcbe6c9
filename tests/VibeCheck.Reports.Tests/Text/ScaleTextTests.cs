using VibeCheck.Core.Flights;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Text;

public sealed class ScaleTextTests
{
    // With four earlier flights every quantity is compared with them, so the sentence about common practice is missing.
    [Fact]
    public void One_sentence_alone_ends_with_its_full_stop()
    {
        FlightAnalysis[] earlier = [Examples.Before, Examples.Before, Examples.Before, Examples.Before];
        string text = ScaleText.Of(Examples.After, earlier)!;
        Assert.StartsWith("Compared with 4 earlier flights of this aircraft: ", text, StringComparison.Ordinal);
        Assert.DoesNotContain("common practice", text, StringComparison.Ordinal);
        Assert.EndsWith(".", text, StringComparison.Ordinal);
    }
}
