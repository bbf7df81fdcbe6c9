using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Core.Tests.Surveys;

public sealed class FittedShimsTests
{
    private static readonly BoltPattern _square = BoltPattern.Rectangle(28.6, 28.6),
        _cross = BoltPattern.Cross(28.6, 28.6);

    private static string Read(string text, BoltPattern pattern) =>
        string.Join(
            ' ',
            FittedShims
                .Read("M1", text, pattern)
                .Shims!.Bolts!.Where(b => b.StackMm.Count > 0)
                .Select(b => $"{b.Bolt.Place}:{string.Join('+', b.StackMm.Select(t => t.ToString(CultureInfo.InvariantCulture)))}")
        );

    [Theory]
    [InlineData("right 0.2", "right-out:0.2 right-in:0.2")]
    [InlineData("Right 0.2 mm", "right-out:0.2 right-in:0.2")]
    [InlineData("right-out 0.1+0.2; left-out 0.1", "right-out:0.2+0.1 left-out:0.1")]
    [InlineData("right 0.2, out 0.1", "right-out:0.2+0.1 right-in:0.2 left-out:0.1")]
    [InlineData("none", "")]
    [InlineData("right 0", "")]
    public void Sides_and_bolts_are_read_as_they_are_written(string text, string expected) => Assert.Equal(expected, Read(text, _square));

    [Fact]
    public void On_a_cross_a_side_is_one_bolt() => Assert.Equal("right:0.2", Read("right 0.2", _cross));

    [Theory]
    [InlineData("0.2 under the right bolts")]
    [InlineData("upper 0.2")]
    [InlineData("right")]
    [InlineData("right 200")]
    public void Unreadable_text_is_named(string text) => Assert.Equal(text, FittedShims.Read("M1", text, _square).NotRead);

    // Geometry of the sine bar: 0.2 mm over 28.6 mm is 0.40067°. Common rule of thumb: about 0.4° needs 0.2 mm near 28 mm.
    [Theory]
    [InlineData(MotorLevel.Single, 0.4 - 0.40067)]
    [InlineData(MotorLevel.Lower, 0.4 + 0.40067)]
    public void Shims_subtract_their_angle_and_add_it_under_a_hanging_motor(MotorLevel level, double leavesDeg)
    {
        var found = new MotorTilt("M1", Estimate.Around(0.4, 0.1), Estimate.Unknown(new NotMeasured()));
        (double? across, double? along) = FittedShims.Read("M1", "right 0.2", _square).Shims!.Leaves(found, level);
        Assert.Equal(leavesDeg, across!.Value, 1e-4);
        Assert.Null(along);
    }

    [Theory]
    [InlineData("right 0.2", false)]
    [InlineData("left 0.2", true)]
    public void Shims_that_do_not_do_what_they_should_are_named(string shims, bool isNamed)
    {
        var airframe = new Airframe
        {
            Name = "one",
            Bolts = _square,
            Motors = [new("M1", 0, 0.4, Spin.Clockwise, MotorLevel.Single, 2, null)],
        };
        GaugeReading Reading(SurveyTime when, GaugePlace where, double deg) =>
            new()
            {
                MotorId = "M1",
                When = when,
                Where = where,
                Direction = TiltDirection.Across,
                LowDeg = deg,
                HighDeg = deg,
                LowSide = deg > 0 ? LowSide.Right : LowSide.Level,
                Fitted = when == SurveyTime.AsLeft ? FittedShims.Read("M1", shims, _square).Shims : null,
            };
        Survey survey = TiltCombination.Of(
            airframe,
            [
                Reading(SurveyTime.AsFound, GaugePlace.Frame, 0),
                Reading(SurveyTime.AsFound, GaugePlace.Mount, 0.4),
                Reading(SurveyTime.AsLeft, GaugePlace.Frame, 0),
                Reading(SurveyTime.AsLeft, GaugePlace.Mount, 0),
            ]
        );
        Assert.Equal(
            isNamed,
            survey.Cautions.Any(c =>
                c is ShimsDoNotExplainTilt { Motor: "M1", AsNoted: "left 0.2", Direction: TiltDirection.Across, ReadDeg: 0 } unexplained
                && Math.Abs(unexplained.ExpectedDeg - 0.8) < 0.005
            )
        );
        Assert.Equal(isNamed ? 2 : 1, survey.Cautions.Count);
    }
}
