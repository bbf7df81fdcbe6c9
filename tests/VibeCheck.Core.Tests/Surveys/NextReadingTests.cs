using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Core.Tests.Surveys;

public sealed class NextReadingTests
{
    private static readonly Motor _m1 = new("M1", 90, 0.4, Spin.Clockwise, MotorLevel.Single, 2, null);

    private static Airframe One(ShimKit kit, double spanMm = 28.6, double? stepDeg = null, double? repeatabilityDeg = null) =>
        new()
        {
            Name = "one",
            Bolts = BoltPattern.Rectangle(spanMm, spanMm),
            ShimKit = kit,
            Gauge = stepDeg is null ? null : new(stepDeg, null, repeatabilityDeg),
            Motors = [_m1],
        };

    private static GaugeReading Reading(
        GaugePlace where,
        TiltDirection direction,
        double deg,
        SurveyTime when = SurveyTime.AsFound,
        bool atHub = false
    ) =>
        new()
        {
            MotorId = atHub ? null : "M1",
            When = when,
            Where = where,
            Direction = direction,
            LowDeg = deg,
            HighDeg = deg,
            LowSide =
                deg == 0 ? LowSide.Level
                : direction == TiltDirection.Across ? LowSide.Right
                : LowSide.Out,
        };

    /// <summary>The given number of readings at each of the four places: a level frame, and the mount at an angle across the arm.</summary>
    private static GaugeReading[] All(double mountDeg, int each, SurveyTime when = SurveyTime.AsFound) =>
        [
            .. Enumerable
                .Range(0, each)
                .SelectMany(_ =>
                    (GaugeReading[])
                        [
                            Reading(GaugePlace.Frame, TiltDirection.Across, 0, when),
                            Reading(GaugePlace.Mount, TiltDirection.Across, mountDeg, when),
                            Reading(GaugePlace.Frame, TiltDirection.Along, 0, when),
                            Reading(GaugePlace.Mount, TiltDirection.Along, 0, when),
                        ]
                ),
        ];

    private static NextReading? Next(Airframe airframe, IReadOnlyList<GaugeReading> readings, SurveyTime when = SurveyTime.AsFound) =>
        NextReading.Of(ShimPlan.Of(airframe, TiltCombination.Of(airframe, readings)), _m1, when);

    [Fact]
    public void Places_that_were_not_read_come_first_in_the_order_of_work()
    {
        GaugeReading[] all = All(0.5, 1);
        for (int i = 0; i < all.Length; i++)
        {
            Assert.Equal(new(all[i].Where, all[i].Direction, ReadingPurpose.FirstReading, 1), Next(One(ShimKit.Usual), all[..i]));
        }
    }

    [Fact]
    public void A_frame_read_at_the_hub_is_not_asked_for_at_the_motor()
    {
        GaugeReading[] hub =
        [
            Reading(GaugePlace.Frame, TiltDirection.Across, 0, atHub: true),
            Reading(GaugePlace.Frame, TiltDirection.Along, 0, atHub: true),
        ];
        Assert.Equal(new(GaugePlace.Mount, TiltDirection.Across, ReadingPurpose.FirstReading, 1), Next(One(ShimKit.Usual), hub));
    }

    [Fact]
    public void A_motor_surely_in_tolerance_needs_no_more() =>
        Assert.Null(Next(One(ShimKit.Usual, stepDeg: 0.01, repeatabilityDeg: 0.005), All(0, 1)));

    [Fact]
    public void A_tilt_on_either_side_of_the_tolerance_asks_for_as_many_more_as_the_plan_names()
    {
        Airframe airframe = One(ShimKit.Usual, stepDeg: 0.05, repeatabilityDeg: 0.05);
        GaugeReading[] readings = All(0.2, 1);
        MotorShims work = ShimPlan.Of(airframe, TiltCombination.Of(airframe, readings)).Motors[0];
        Assert.Equal(ShimAction.MeasureAgain, work.Action);
        Assert.Equal(
            new NextReading(GaugePlace.Frame, TiltDirection.Across, ReadingPurpose.Tolerance, work.MoreReadings!.Value),
            Next(airframe, readings)
        );
    }

    // One step of 0.1 mm over 28.6 mm is 0.2° (atan(0.1/28.6) = 0.2003°); half of it is 0.1°. With u = 0.05° per reading, the uncertainty
    // of a difference of two is above that, and averaging brings it below.
    [Fact]
    public void A_thickness_that_is_not_sure_asks_for_readings_until_it_is()
    {
        Airframe airframe = One(ShimKit.Usual, stepDeg: 0.01, repeatabilityDeg: 0.05);
        int asked = 0;
        for (int each = 1; Next(airframe, All(1, each)) is NextReading next; each++)
        {
            Assert.Equal(ReadingPurpose.Thickness, next.Purpose);
            Assert.True(asked == 0 || next.More < asked, $"{next.More} after {asked}");
            asked = next.More;
        }

        Assert.InRange(asked, 1, NextReading.MostForThickness);
        int enough = Enumerable.Range(1, 10).First(n => Next(airframe, All(1, n)) is null);
        MotorTilt tilt = TiltCombination.Of(airframe, All(1, enough)).AsFound[0];
        Assert.True(tilt.U95Deg <= ShimChart.TiltDeg(28.6, 0.1) / 2, $"{tilt.U95Deg}");
    }

    [Fact]
    public void A_kit_of_coarse_steps_asks_for_no_more() =>
        Assert.Null(Next(One(new([0.5], 2), stepDeg: 0.01, repeatabilityDeg: 0.05), All(2, 1)));

    [Fact]
    public void Steps_too_fine_for_few_readings_to_distinguish_ask_for_no_more() =>
        Assert.Null(Next(One(new([0.02, 0.5], 2), stepDeg: 0.1, repeatabilityDeg: 0.1), All(2, 1)));

    [Fact]
    public void After_the_work_a_tilt_on_either_side_of_the_tolerance_asks_for_more_and_a_sure_one_does_not()
    {
        Airframe airframe = One(ShimKit.Usual, stepDeg: 0.05, repeatabilityDeg: 0.03);
        GaugeReading[] found = All(1, 3);
        Assert.Equal(ReadingPurpose.Tolerance, Next(airframe, [.. found, .. All(0.15, 1, SurveyTime.AsLeft)], SurveyTime.AsLeft)!.Purpose);
        Assert.Null(Next(airframe, [.. found, .. All(0.5, 1, SurveyTime.AsLeft)], SurveyTime.AsLeft));
    }
}
