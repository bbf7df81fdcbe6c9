using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Logs.Assembly;
using VibeCheck.Reports.Text;

namespace VibeCheck.Core.Tests.House;

/// <summary>A cause that Logs reports in a fault and Reports writes in a result has the same text in both, although neither project may use
/// the other.</summary>
public sealed class SharedWordsTests
{
    public static TheoryData<Reason> Causes =>
        [
            new NoSpeedToAlignBy(),
            new ImuTooSlowToAlign(50),
            new VibrationFollowsOtherSpeeds(0.123, 4, 0.456, 3),
            new OffsetNotShown(0.987, 12, 0.5, 5),
        ];

    [Theory]
    [MemberData(nameof(Causes))]
    public void Clocks_that_cannot_be_aligned_are_reported_in_the_same_words(Reason cause) =>
        Assert.Equal(ReasonText.Of(cause), ClockFault.Text(cause));
}
