using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Logs.Assembly;
using VibeCheck.Reports.Text;

namespace VibeCheck.Core.Tests.House;

/// <summary>A cause that Logs tells in a fault and Reports in a result is told in the same words: neither project may use the
/// other.</summary>
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
    public void Clocks_that_cannot_be_lined_up_are_told_alike(Reason cause) => Assert.Equal(ReasonText.Of(cause), ClockFault.Text(cause));
}
