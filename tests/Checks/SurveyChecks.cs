using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Checks;

/// <summary>Gauge readings, bolts and forecasts of a survey, against the GUM, handbook formulas and elementary geometry.</summary>
public sealed class SurveyChecks
{
    private static readonly Airframe s_hexa = new()
    {
        Name = "hexa",
        MassKg = 6.8,
        TorquePerThrustM = 0.018,
        Bolts = BoltPattern.Rectangle(28.6, 28.6),
        ShimKit = new([0.1], 1),
        Motors = AirframeLayout.Motors(AirframeLayout.Even(6, ArmLayout.NoseBetweenArms, 0.42), false, null, [Spin.Clockwise], 2, 14),
    };

    private static GaugeReading Reading(GaugePlace where, double lowDeg, double highDeg) =>
        new()
        {
            MotorId = "M1",
            When = SurveyTime.AsFound,
            Where = where,
            Direction = TiltDirection.Across,
            LowDeg = lowDeg,
            HighDeg = highDeg,
            LowSide = LowSide.Right,
        };

    private static Survey Found(double deg, double halfDeg) =>
        new([.. s_hexa.Motors.Select(m => new MotorTilt(m.Id, Estimate.Around(deg, halfDeg), Estimate.Around(0, halfDeg)))], []);

    // NIST/SEMATECH e-Handbook 1.3.5.3: s² pooled = Σ Σ (x - mean)² / Σ (n - 1). Two pairs 0.1 apart: (0.005 + 0.005) / 2.
    [Fact]
    public void Repeats_of_two_places_give_the_pooled_standard_deviation()
    {
        GaugeReading[] readings =
        [
            Reading(GaugePlace.Frame, 0.1, 0.1),
            Reading(GaugePlace.Frame, 0.2, 0.2),
            Reading(GaugePlace.Mount, 0.5, 0.5),
            Reading(GaugePlace.Mount, 0.6, 0.6),
        ];
        GaugeQuality gauge = TiltCombination.Of(s_hexa, readings).Gauge!;
        Assert.Equal(Math.Sqrt(0.005), gauge.ScatterDeg!.Value, 1e-12);
        Assert.Equal(2, gauge.RepeatCount);
        Assert.False(gauge.StepGiven);
        Assert.True(TiltCombination.Of(s_hexa with { Gauge = new(0.1, null, null) }, readings).Gauge!.StepGiven);
    }

    // GUM 4.3.7: a value known only to lie within ± a has u = a/√3. A display that flickers from 0.1 to 0.4 gives a = 0.15; from 0.1 to 0.2
    // it is already covered by one step of the display. Of two readings, the wider flicker counts.
    [Theory]
    [InlineData(0.4, 0.15)]
    [InlineData(0.2, null)]
    public void A_display_that_flickers_over_more_than_a_step_has_an_uncertainty_of_its_own(double highDeg, double? half)
    {
        UncertaintyBudget budget = TiltCombination
            .Of(
                s_hexa with
                {
                    Gauge = new(0.1, null, null),
                },
                [Reading(GaugePlace.Frame, 0, 0), Reading(GaugePlace.Mount, 0.1, highDeg), Reading(GaugePlace.Mount, 0.2, 0.2)]
            )
            .AsFound[0]
            .AcrossBudget!;
        double? standard = budget.Parts.SingleOrDefault(p => p.Name == "flicker")?.Standard;
        Assert.Equal(half is null, standard is null);
        Assert.Equal((half ?? 0) / Math.Sqrt(3) / Math.Sqrt(2), standard ?? 0, 1e-12);
    }

    // GUM 5.1.2: two independent ± 0.08 and ± 0.06 make ± 0.10. Both directions are compared.
    [Fact]
    public void A_mount_is_compared_in_both_directions()
    {
        Survey last = new([], [new("M1", Estimate.Around(0, 0.08), Estimate.Around(0.1, 0.08))]),
            now = new([new("M1", Estimate.Around(0, 0.06), Estimate.Around(0.5, 0.06))], []);
        MountMovement along = MountMovement.Since(last, now).Single(m => m.Direction == TiltDirection.Along);
        Assert.Equal(0.4, along.MovedDeg.Value!.Value, 1e-12);
        Assert.Equal(0.1, along.MovedDeg.Ci95!.Value.Width / 2, 1e-12);
        Assert.True(along.Moved);
        Assert.False(MountMovement.Since(last, now).Single(m => m.Direction == TiltDirection.Across).Moved);
    }

    // Contract of the result: u95_deg is the larger of the two half widths, or the one that is known.
    [Theory]
    [InlineData(0.1, 0.3, 0.3)]
    [InlineData(0.3, 0.1, 0.3)]
    [InlineData(0.1, null, 0.1)]
    [InlineData(null, 0.2, 0.2)]
    public void The_uncertainty_of_a_tilt_is_the_larger_of_its_directions(double? across, double? along, double expected)
    {
        static Estimate Tilt(double? half) => half is double h ? Estimate.Around(0.2, h) : Estimate.Unknown(new NotMeasured());
        Assert.Equal(expected, new MotorTilt("M1", Tilt(across), Tilt(along)).U95Deg!.Value, 1e-12);
    }

    // cos 60° = 1/2: a motor tilted by 60° lifts with half its thrust, so of two motors a quarter of the lift is lost.
    [Fact]
    public void Thrust_that_leans_lifts_with_its_cosine()
    {
        MotorTilt[] tilts =
        [
            new("M1", Estimate.Around(60, 0.1), Estimate.Around(0, 0.1)),
            new("M2", Estimate.Around(0, 0.1), Estimate.Around(0, 0.1)),
        ];
        Assert.Equal(0.25, TiltYaw.ThrustLost(tilts), 1e-12);
    }

    // Static thrust is proportional to the square of the speed (any text on propellers: T = C_T ρ n² D⁴). A split s sets one group's speed
    // to 1 + s/2 of the mean. Terms in s² are neglected: 0.01 of a change.
    [Theory]
    [InlineData(0.3, Spin.Clockwise)]
    [InlineData(-0.3, Spin.CounterClockwise)]
    public void The_group_that_runs_cooler_loses_thrust_as_its_speed_squared(double tiltDeg, Spin group)
    {
        HoverForecast forecast = ShimPlan.Of(s_hexa, Found(tiltDeg, 0.001)).Forecast;
        double before = Math.Abs(forecast.SplitBefore.Value!.Value),
            after = Math.Sign(forecast.SplitBefore.Value.Value) * forecast.SplitAfter.Value!.Value;
        Assert.Equal(group, forecast.CoolerGroup);
        Assert.InRange(after / before, 0.2, 0.45);
        Assert.Equal(Math.Pow((1 + after / 2) / (1 + before / 2), 2) - 1, forecast.CoolerGroupThrustChange!.Value, 0.005);
    }

    // NIST/SEMATECH e-Handbook 7.2.2.2: N = (z σ / δ)² readings; z = 1.96, σ = 0.1: for δ = 0.1 N = 3.84, for 0.05 15.4, for 0.2 0.96.
    [Theory]
    [InlineData(0.1, 3)]
    [InlineData(0.05, 15)]
    [InlineData(0.2, 1)]
    public void Readings_wanted_follow_the_sample_size_formula(double marginDeg, int more)
    {
        var known = new UncertaintyBudget([new("repeatability", 0.1, 1, double.PositiveInfinity) { Readings = 1 }]);
        var tilt = new MotorTilt("M1", Estimate.Around(0.2, 0.2), Estimate.Around(0, 0.2)) { AcrossBudget = known, AlongBudget = known };
        Assert.Equal(more, ShimPlanner.MoreReadings(tilt, marginDeg));
    }

    // Geometry: a line of bolts at 45° with one end 0.2 mm higher over 28.28 mm rises by 0.2/28.28 along itself, which is 0.2/28.28/√2
    // across and the same along the arm.
    [Fact]
    public void Bolts_in_a_slanted_line_tilt_the_mount_along_the_line()
    {
        BoltPattern pattern = BoltPattern.At([(-10, -10), (10, 10)]);
        Assert.True(pattern.InOneLine);
        (double across, double along) = new MountPlane(pattern).Slopes([0, 0.2]);
        Assert.Equal(0.2 / Math.Sqrt(800) / Math.Sqrt(2), across, 1e-12);
        Assert.Equal(across, along, 1e-12);
    }

    // Geometry: (0, 1) lies 0.71 mm from the line through (-10, -10) and (10, 10), (0, 0.1) 0.07 mm; 0.1 mm counts as on the line.
    [Theory]
    [InlineData(1, false)]
    [InlineData(0.1, true)]
    public void Bolts_are_in_one_line_by_their_distance_from_it(double alongMm, bool inLine) =>
        Assert.Equal(inLine, BoltPattern.At([(-10, -10), (0, alongMm), (10, 10)]).InOneLine);

    // Geometry: directions clockwise from outwards, right at 90°, so 45° is right and out, 135° right and in.
    [Fact]
    public void Bolts_of_a_circle_are_ordered_clockwise_from_outwards_and_named_by_their_place()
    {
        BoltPattern circle = BoltPattern.Circle(4, 30, 45);
        Assert.Equal(["right-out", "right-in", "left-in", "left-out"], circle.Bolts.Select(b => b.Place));
        Assert.Equal(15 / Math.Sqrt(2), circle.Bolts[0].AcrossMm, 1e-9);
        Assert.Equal(-15 / Math.Sqrt(2), circle.Bolts[1].AlongMm, 1e-9);
        Assert.Equal(["out", "right", "in", "left"], BoltPattern.Circle(4, 30, 0).Bolts.Select(b => b.Place));
        Assert.Equal(["out", "out 2"], BoltPattern.At([(-1, 10), (1, 10)]).Bolts.Select(b => b.Place));
    }

    // Geometry: the first pair, 16 mm apart, at 45° has a bolt at 8/√2 mm right and out; the second, 19 mm, one at 9.5/√2 right and in.
    [Fact]
    public void Pairs_of_bolts_are_turned_clockwise()
    {
        BoltPattern pairs = BoltPattern.Pairs(16, 19, 45);
        Bolt first = pairs.Bolts.Single(b => b.Place == "right-out"),
            second = pairs.Bolts.Single(b => b.Place == "right-in");
        Assert.Equal((8 / Math.Sqrt(2), 8 / Math.Sqrt(2)), (first.AcrossMm, first.AlongMm), Close);
        Assert.Equal((9.5 / Math.Sqrt(2), -9.5 / Math.Sqrt(2)), (second.AcrossMm, second.AlongMm), Close);
        Assert.Equal([16, 19], pairs.OppositePairs.Select(p => Math.Round(p.DistanceMm, 9)).Order());
    }

    private static bool Close((double, double) a, (double, double) b) =>
        Math.Abs(a.Item1 - b.Item1) < 1e-9 && Math.Abs(a.Item2 - b.Item2) < 1e-9;

    // Newton's third law: if all rotors turn the same way, their whole reaction torque acts on the airframe. Two counter-rotating rotors
    // side by side carry half the weight each; they cannot control pitch.
    [Fact]
    public void Rotors_must_have_both_spins_and_may_be_in_a_line()
    {
        Motor right = new("M1", 90, 0.3, Spin.Clockwise, MotorLevel.Single, 2, null),
            left = new("M2", 270, 0.3, Spin.CounterClockwise, MotorLevel.Single, 2, null);
        Airframe two = s_hexa with { Motors = [right, left] };
        Assert.Equal([1.0, 1.0], ThrustBalance.Solve(two, [0, 0]).Balance!.ThrustShares.Select(s => Math.Round(s, 9)));
        (ThrustBalance? none, Reason? why) = ThrustBalance.Solve(
            two with
            {
                Motors = [right, left with { Spin = Spin.Clockwise }],
            },
            [0, 0]
        );
        Assert.Null(none);
        Assert.IsType<AllMotorsSpinAlike>(why);
    }

    // A plan must state its assumptions and what was not read, but not what was given. From the contract of the airframe file.
    [Fact]
    public void Assumptions_of_a_plan_are_stated_and_given_values_are_not()
    {
        Survey across = new([new("M1", Estimate.Around(0.4, 0.01), Estimate.Unknown(new NotMeasured()))], []);
        Airframe bare = s_hexa with { ShimKit = null, TorquePerThrustM = null };
        IReadOnlyList<Reason> assumed = ShimPlan.Of(bare, across).Cautions,
            given = ShimPlan.Of(s_hexa, Found(0.4, 0.01)).Cautions;
        Assert.Contains(assumed, c => c is ShimKitAssumed);
        Assert.Contains(assumed, c => c is TorquePerThrustAssumed);
        DirectionNotRead missing = Assert.Single(assumed.OfType<DirectionNotRead>());
        Assert.Equal(TiltDirection.Along, missing.Direction);
        Assert.DoesNotContain(given, c => c is ShimKitAssumed or TorquePerThrustAssumed or DirectionNotRead);
    }

    // Sine bar: 28.6 mm · tan 0.8013° = 0.4 mm, from pieces of 0.1 and 0.3 mm; the thicker one is named first.
    [Fact]
    public void A_stack_is_listed_with_its_thickest_piece_first()
    {
        Airframe kit = s_hexa with { ShimKit = new([0.1, 0.3], 2) };
        MotorShims m = ShimPlan.Of(kit, Found(0.8013, 0.001)).Motors[0];
        Assert.Equal([0.3, 0.1], m.Stacks!.Bolts.Single(b => b.Bolt.Place == "right-out").StackMm);
        Assert.Equal(0.4, m.ThicknessMm!.Value, 1e-9);
    }

    // Reversal: a gauge that reads 0.2° too far to the right reads 0.5 straight and 0.1 turned on a slope of 0.3. Its maker states 0.05°.
    [Theory]
    [InlineData(0.05, true)]
    [InlineData(0.5, false)]
    public void A_zero_error_larger_than_the_maker_states_is_named(double accuracyDeg, bool isNamed)
    {
        GaugeReading straight = Reading(GaugePlace.Frame, 0.5, 0.5),
            turned = Reading(GaugePlace.Frame, 0.1, 0.1) with { Turned = true };
        Survey survey = TiltCombination.Of(
            s_hexa with
            {
                Gauge = new(0.01, accuracyDeg, 0.005),
            },
            [straight, straight, straight, turned, turned, turned]
        );
        Assert.Equal(isNamed, survey.Cautions.Any(c => c is ZeroErrorTooLarge));
    }

    // M = r T sin θ for each motor, and GUM 5.1.2 for six independent tilts: U(M) = √6 r T U(θ) near level, θ in radians.
    [Fact]
    public void The_yaw_moment_carries_the_uncertainty_of_the_tilts()
    {
        double thrustN = 6.8 * 9.80665 / 6;
        Estimate moment = TiltYaw.YawMomentNm(s_hexa, Found(0, 0.1).AsFound);
        Assert.Equal(0, moment.Value!.Value, 1e-12);
        Assert.Equal(Math.Sqrt(6) * 0.42 * thrustN * 0.1 * Math.PI / 180, moment.Ci95!.Value.Width / 2, 1e-4);
    }

    // GUM 5.1.3: u_i(y) = |c_i| u(x_i). Three times a quantity that contains twice x with u(x) = 0.1 has u = 0.6.
    [Fact]
    public void Sensitivities_multiply_in_a_weighted_sum()
    {
        var twice = new UncertaintyBudget([new("x", 0.1, 2, double.PositiveInfinity)]);
        Assert.Equal(0.6, UncertaintyBudget.OfSum([(3, twice)]).Combined, 1e-12);
    }

    // Statics: the rotors' reaction torque is at most κ times the weight, 0.015 m; one of four motors at 0.25 m that is tilted by 20° turns
    // the aircraft with 0.25 m · 1/4 · sin 20° = 0.0214 m times the weight.
    [Fact]
    public void A_motor_that_leans_too_far_leaves_no_level_hover()
    {
        Airframe quad = s_hexa with
        {
            TorquePerThrustM = 0.015,
            Motors = AirframeLayout.Motors(AirframeLayout.Even(4, ArmLayout.NoseBetweenArms, 0.25), false, null, [Spin.Clockwise], 2, 14),
        };
        (ThrustBalance? none, Reason? why) = ThrustBalance.Solve(quad, [20, 0, 0, 0]);
        Assert.Null(none);
        Assert.IsType<TiltBeyondThrust>(why);
    }

    // Sine bar: one piece of 0.1 mm under 28.6 mm removes 0.2003°, so nearly 0.6° of 0.8° remains, and nothing of 0.2°.
    [Fact]
    public void The_remaining_tilt_is_given_with_the_uncertainty_of_the_reading()
    {
        ShimPlan small = ShimPlan.Of(s_hexa, Found(0.8, 0.001)),
            enough = ShimPlan.Of(s_hexa, Found(0.2, 0.001));
        KitLeavesTilt left = Assert.IsType<KitLeavesTilt>(small.Cautions.OfType<MotorCaution>().First(c => c.Motor == "M1").Cause);
        Assert.Equal(0.8 - 0.2003, left.ResidualDeg, 1e-3);
        Assert.Equal(0.001, small.Motors[0].TiltAfter!.AcrossDeg.Ci95!.Value.Width / 2, 1e-9);
        Assert.DoesNotContain(enough.Cautions, c => c is MotorCaution { Cause: KitLeavesTilt or StacksRock });
        Survey along = new([new("M1", Estimate.Unknown(new NotMeasured()), Estimate.Around(0.4, 0.01))], []);
        Assert.Equal(TiltDirection.Across, Assert.Single(ShimPlan.Of(s_hexa, along).Cautions.OfType<DirectionNotRead>()).Direction);
    }

    // Sine bar: 0.1 mm under 28.6 mm removes 0.2003° of 0.6°. A reading of 0.4° afterwards agrees with the expected remainder; 1.2° does
    // not.
    [Theory]
    [InlineData(0.4, false)]
    [InlineData(1.2, true)]
    public void Shims_that_leave_what_they_should_are_not_named(double leftDeg, bool isNamed)
    {
        FittedShims shims = FittedShims.Read("M1", "right 0.1", s_hexa.Bolts).Shims!;
        GaugeReading after = Reading(GaugePlace.Mount, leftDeg, leftDeg) with { When = SurveyTime.AsLeft, Fitted = shims };
        Survey survey = TiltCombination.Of(
            s_hexa,
            [
                Reading(GaugePlace.Frame, 0, 0),
                Reading(GaugePlace.Mount, 0.6, 0.6),
                Reading(GaugePlace.Frame, 0, 0) with
                {
                    When = SurveyTime.AsLeft,
                },
                after,
            ]
        );
        Assert.Equal(isNamed, survey.Cautions.Any(c => c is ShimsDoNotExplainTilt));
    }
}
