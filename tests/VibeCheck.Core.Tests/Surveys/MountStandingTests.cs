using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Core.Tests.Surveys;

/// <summary>A mount is in or out of tolerance only where its whole interval is: ISO 14253-1 (from memory) has the same rule for proving
/// conformity, the limit minus the uncertainty, and for proving nonconformity, the limit plus the uncertainty.</summary>
public sealed class MountStandingTests
{
    private const double ToleranceDeg = 0.2;

    [Theory]
    [InlineData(0.10, 0.05, MountStanding.InTolerance)]
    [InlineData(0.18, 0.05, MountStanding.Undecided)]
    [InlineData(-0.22, 0.05, MountStanding.Undecided)]
    [InlineData(-0.30, 0.05, MountStanding.OutOfTolerance)]
    public void A_mount_is_judged_with_its_uncertainty(double acrossDeg, double halfDeg, MountStanding expected) =>
        Assert.Equal(expected, Tilt(Estimate.Around(acrossDeg, halfDeg)).Standing(ToleranceDeg));

    [Fact]
    public void A_mount_that_nobody_read_is_not_known() =>
        Assert.Equal(MountStanding.NotKnown, Tilt(Estimate.Unknown(new NotReadReason())).Standing(ToleranceDeg));

    [Fact]
    public void A_tilt_without_an_interval_decides_nothing() =>
        Assert.Equal(MountStanding.Undecided, Tilt(Estimate.WithoutInterval(0.01, new NotReadReason())).Standing(ToleranceDeg));

    private static MotorTilt Tilt(Estimate across) => new("M1", across, Estimate.Unknown(new NotReadReason()));

    private sealed record NotReadReason : Reason;
}
