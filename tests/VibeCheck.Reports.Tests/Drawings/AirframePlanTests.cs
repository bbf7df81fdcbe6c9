using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Tests.Drawings;

public sealed class AirframePlanTests
{
    private const double PanelWidth = 112;
    private const double PanelHeight = 96;

    [Theory]
    [InlineData(1, 0)]
    [InlineData(3, 60)]
    [InlineData(4, 45)]
    [InlineData(4, 0)]
    [InlineData(6, 30)]
    [InlineData(6, 0)]
    [InlineData(8, 22.5)]
    [InlineData(12, 15)]
    public void No_panel_touches_another_and_all_lie_within_the_drawing(int arms, double firstDeg) =>
        HasRoom(AirframePlan.Of(Around(arms, firstDeg, 1), PanelWidth, PanelHeight));

    [Theory]
    [InlineData(3, 60)]
    [InlineData(4, 45)]
    [InlineData(6, 30)]
    public void Coaxial_pairs_have_room_too_and_the_upper_stands_above_the_lower(int arms, double firstDeg)
    {
        AirframePlan plan = AirframePlan.Of(Around(arms, firstDeg, 2), PanelWidth, PanelHeight);
        HasRoom(plan);
        for (int i = 0; i < plan.Places.Count; i += 2)
        {
            Assert.Equal(plan.Places[i].X, plan.Places[i + 1].X);
            Assert.True(plan.Places[i].Y < plan.Places[i + 1].Y);
        }
    }

    [Fact]
    public void The_nose_is_up_and_azimuth_runs_clockwise()
    {
        AirframePlan plan = AirframePlan.Of(Around(4, 0, 1), PanelWidth, PanelHeight);
        Assert.True(plan.Places[0].Y < plan.HubY);
        Assert.True(plan.Places[1].X > plan.HubX);
        Assert.True(plan.Places[2].Y > plan.HubY);
        Assert.True(plan.Places[3].X < plan.HubX);
    }

    [Theory]
    [InlineData(0, 1, 0)] // nose arm: right is starboard
    [InlineData(90, 0, 1)] // starboard arm: its right is aft
    [InlineData(180, -1, 0)]
    [InlineData(270, 0, -1)]
    public void Right_is_right_as_seen_from_the_hub_looking_out(double azimuthDeg, double x, double y)
    {
        var place = new PlanPlace(Examples.Hexa.Motors[0] with { AzimuthDeg = azimuthDeg }, 0, 0);
        Assert.Equal(x, place.Right.X, 1e-12);
        Assert.Equal(y, place.Right.Y, 1e-12);
    }

    [Fact]
    public void The_mark_of_a_tilt_lies_on_the_low_side()
    {
        // Right side low by half the scale on the starboard arm: the mark lies aft, half a radius below the middle.
        var place = new PlanPlace(Examples.Hexa.Motors[1], 0, 0);
        var tilt = new MotorTilt("M2", Estimate.Around(0.5, 0.1), Estimate.Around(0, 0.1));
        string drawn = new TiltDial(1, 40).Draw(place, null, tilt).ToString();
        Assert.Contains("""<path transform="translate(0 20) rotate(180)" """, drawn, StringComparison.Ordinal);

        // A bubble would be on the high side, so the mark must not look like one.
        Assert.DoesNotContain("cy=\"20\"", drawn, StringComparison.Ordinal);
    }

    [Fact]
    public void A_motor_that_was_not_read_is_hatched() =>
        Assert.Contains(
            "url(#unknown)",
            new TiltDial(1, 40).Draw(new PlanPlace(Examples.Hexa.Motors[1], 0, 0), null, null).ToString(),
            StringComparison.Ordinal
        );

    [Fact]
    public void A_hostile_motor_name_stays_text()
    {
        Markup drawn = AirframePlan.Of(Examples.Hexa, 10, 10).Draw("a \"b\" <c>", p => Markup.Of($"<text>{"<script>x</script>"}</text>"));
        Assert.DoesNotContain("<script", drawn.ToString(), StringComparison.Ordinal);
        Assert.Contains("aria-label=\"a &quot;b&quot; &lt;c&gt;\"", drawn.ToString(), StringComparison.Ordinal);
    }

    private static void HasRoom(AirframePlan plan)
    {
        for (int i = 0; i < plan.Places.Count; i++)
        {
            PlanPlace a = plan.Places[i];
            Assert.InRange(a.X, PanelWidth / 2, plan.Width - PanelWidth / 2);
            Assert.InRange(a.Y, PanelHeight / 2, plan.Height - PanelHeight / 2);
            for (int j = 0; j < i; j++)
            {
                PlanPlace b = plan.Places[j];
                Assert.True(
                    Math.Abs(a.X - b.X) >= PanelWidth - 1e-9 || Math.Abs(a.Y - b.Y) >= PanelHeight - 1e-9,
                    $"{a.Motor.Id} and {b.Motor.Id} overlap"
                );
            }
        }
    }

    private static Airframe Around(int arms, double firstDeg, int levels) =>
        new()
        {
            Name = "round",
            Motors =
            [
                .. Enumerable
                    .Range(0, arms * levels)
                    .Select(i => new Motor(
                        $"M{i + 1}",
                        firstDeg + 360.0 / arms * (i / levels),
                        0.4,
                        Spin.Clockwise,
                        levels == 1 ? MotorLevel.Single
                            : i % 2 == 0 ? MotorLevel.Upper
                            : MotorLevel.Lower,
                        2,
                        null
                    )),
            ],
        };
}
