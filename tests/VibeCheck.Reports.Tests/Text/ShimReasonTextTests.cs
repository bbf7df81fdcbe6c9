using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Text;

public sealed class ShimReasonTextTests
{
    // 0.15 mm / 25.4 = 0.0059 in, 0.4 mm / 25.4 = 0.0157 in.
    [Theory]
    [InlineData(false, "The airframe file lists no shims. The plan uses 0.15 and 0.4 mm, at most 3 shims under a bolt.")]
    [InlineData(true, "The airframe file lists no shims. The plan uses 0.0059 and 0.0157 in, at most 3 shims under a bolt.")]
    public void The_kit_that_was_assumed_is_the_one_of_the_plan(bool inInch, string expected) =>
        Assert.Equal(expected, ReasonText.Of(new ShimKitAssumed([0.15, 0.4], inInch, 3)));
}
