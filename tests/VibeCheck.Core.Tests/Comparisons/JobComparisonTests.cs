using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using static VibeCheck.Core.Tests.Comparisons.MadeFlights;

namespace VibeCheck.Core.Tests.Comparisons;

public class JobComparisonTests
{
    private static readonly MadeFlights Usual = new();

    // Simulated: order 1 of three motors falls to less than half; motors and ESCs have lower steady temperatures.
    private static readonly MadeFlights Rough = Usual with
    {
        Order1 = [1.05, 0.42, 1.30, 0.47, 0.85, 0.38],
        MotorRiseC = [33, 24, 36, 23, 31, 24],
        EscRiseC = [23, 16, 24, 16, 22, 16],
    };

    [Fact]
    public void Less_vibration_and_cooler_units_are_an_improvement_with_the_strongest_reason_first()
    {
        Comparison c = Compare(Rough, Usual);
        Assert.Equal(Verdict.Improved, c.Verdict);
        Assert.Equal(CallKind.Improved, c.Vibration.Kind);
        Assert.Equal(CallKind.Improved, c.MotorTemperature.Kind);
        Assert.Equal(CallKind.Improved, c.EscTemperature.Kind);

        // 20 log10 of the root sums of squares: sqrt(Σ order 1² + 6 · 0.5²).
        double before = Math.Sqrt(1.05 * 1.05 + 0.42 * 0.42 + 1.3 * 1.3 + 0.47 * 0.47 + 0.85 * 0.85 + 0.38 * 0.38 + 1.5);
        double after = Math.Sqrt(0.5 * 0.5 + 0.45 * 0.45 + 0.6 * 0.6 + 0.48 * 0.48 + 0.55 * 0.55 + 0.42 * 0.42 + 1.5);
        Assert.Equal(20 * Math.Log10(after / before), c.Vibration.Change.Value!.Value, tolerance: 1e-9);
        Assert.Equal(28 - 36, c.MotorTemperature.Change.Value!.Value, tolerance: 1e-9);
        Assert.Equal(-8, Assert.IsType<HottestUnitChanged>(c.Reasons[0]).ChangeC, tolerance: 1e-9);
        Assert.Contains(c.Reasons, r => r is RotorVibrationChanged { ChangeDb: < 0 });
        Assert.Contains(
            c.Reasons,
            r =>
                r is OrdersChanged { Fell: true } o
                && o.Orders.Any(k => k is { Motor: "M3", Order: 1 } && Math.Abs(k.ChangeDb - 20 * Math.Log10(0.6 / 1.3)) < 1e-9)
        );
    }

    [Fact]
    public void Nothing_changed_is_no_clear_change_and_says_what_could_have_been_shown()
    {
        Comparison c = Compare(
            Usual,
            Usual with
            {
                Order1 = [0.51, 0.44, 0.61, 0.47, 0.56, 0.42],
                MotorRiseC = [27.5, 26, 28.4, 26, 27, 26],
            }
        );
        Assert.Equal(Verdict.NoClearChange, c.Verdict);
        Assert.All(c.Motors, m => Assert.All(m.Orders, o => Assert.Equal(CallKind.NoClearChange, o.Call)));
        Assert.InRange(c.Vibration.SmallestShown!.Value, 0.5, 1.3);
        Assert.Equal(Significance.NotSignificant, Assert.IsType<ChangeJudged>(c.Vibration.Why).Significance);
    }

    [Fact]
    public void An_improvement_in_reverse_is_worse() => Assert.Equal(Verdict.Worse, Compare(Usual, Rough).Verdict);

    [Fact]
    public void Calmer_but_hotter_is_mixed()
    {
        Comparison c = Compare(Rough, Usual with { MotorRiseC = [27, 26, 44, 26, 27, 26], EscRiseC = Rough.EscRiseC });
        Assert.Equal(Verdict.Mixed, c.Verdict);
        Assert.Equal((CallKind.Improved, CallKind.Worse), (c.Vibration.Kind, c.MotorTemperature.Kind));
        Assert.Contains(c.NextSteps, s => s is LookAtWhatGotWorse);
    }

    [Fact]
    public void A_motor_that_got_rough_is_not_hidden_by_one_that_got_smooth()
    {
        Comparison c = Compare(
            Usual with
            {
                Order1 = [1.5, 0.4, 0.4, 0.4, 0.4, 0.4],
            },
            Usual with
            {
                Order1 = [0.4, 0.4, 0.4, 1.5, 0.4, 0.4],
            }
        );
        Assert.Equal(CallKind.NoClearChange, c.Vibration.Kind);
        Assert.Equal(Verdict.Mixed, c.Verdict);
    }

    [Fact]
    public void A_significant_change_below_the_threshold_is_no_clear_change()
    {
        MadeFlights[] before = [.. Enumerable.Range(0, 9).Select(_ => Usual)],
            after = [.. before.Select(f => f with { Order1 = Array.ConvertAll(f.Order1, a => a * 0.9) })];
        Comparison c = Compare(before, after);
        Assert.Equal(CallKind.NoClearChange, c.Vibration.Kind);
        Assert.True(c.Vibration.Why is ChangeJudged { Significance: Significance.TooSmall, Matters: 1, InDb: true });
    }

    [Fact]
    public void Several_flights_narrow_the_interval()
    {
        double Width(int n) =>
            Compare([.. Enumerable.Repeat(Rough, n)], [.. Enumerable.Repeat(Usual, n)]).Vibration.Change.Ci95!.Value.Width;
        Assert.True(Width(2) < Width(1) && Width(4) < Width(2));
    }

    [Fact]
    public void The_scatter_of_flights_is_used_where_it_exceeds_the_allowance()
    {
        MadeFlights loud = Usual with { Order1 = Array.ConvertAll(Usual.Order1, a => a * 2.5) };
        Comparison c = Compare([Usual, loud, Usual, loud], [Usual, Usual, loud, loud]);
        Assert.True(c.Vibration.Change.Ci95!.Value.Width > 4);
        Assert.Equal(CallKind.NoClearChange, c.Vibration.Kind);
    }

    [Fact]
    public void Rotors_that_hover_far_faster_are_not_comparable()
    {
        Comparison c = Compare(Rough, Usual with { Rpm = 4150 });
        Assert.Equal(Verdict.NotComparable, c.Verdict);
        Assert.Equal(CallKind.Unknown, c.Vibration.Kind);
        var apart = Assert.IsType<HoverSpeedsApart>(c.Reasons[0]);
        Assert.Equal((3400.0, 4150.0, 0.2206), (apart.BeforeRpm, apart.AfterRpm, Math.Round(apart.Share, 4)));
        Assert.NotNull(c.Vibration.Before);
        Assert.False(c.Motors[0].Orders[0].ChangeDb.IsKnown);
    }

    [Fact]
    public void Rotors_that_hover_a_little_faster_are_corrected_with_an_uncertainty()
    {
        Comparison c = Compare(Usual, Usual with { Rpm = 3400 * 1.03 });
        // The levels are equal, but at 3 % more speed: with force proportional to the square of speed the change at equal speed is 40
        // log10(1.03) dB lower.
        Assert.Equal(-40 * Math.Log10(1.03), c.Vibration.Change.Value!.Value, tolerance: 1e-9);
        Assert.True(c.Vibration.Change.Ci95!.Value.Width > Compare(Usual, Usual).Vibration.Change.Ci95!.Value.Width);
        Assert.Equal(Verdict.NoClearChange, c.Verdict);
    }

    [Theory]
    [InlineData(20, 3, 1)]
    [InlineData(38.18, 2, 2)]
    [InlineData(5, 3, 1)]
    public void Rises_are_corrected_to_equal_speed_with_the_exponent_that_the_air_temperature_implies(
        double ambientAfterC,
        double power,
        double bound
    )
    {
        // Thrust is proportional to ρn² and ρ to 1/T: 293.15 K · 1.03055² = 311.33 K would require 3.055 % more rotor speed; from 20 to
        // 5 °C less.
        Comparison c = Compare(Usual, Usual with { Rpm = 3400 * 1.03, AmbientC = ambientAfterC }),
            same = Compare(Usual, Usual);
        double factor = Math.Pow(1.03, -power);
        Assert.Equal(28 * (factor - 1), c.MotorTemperature.Change.Value!.Value, tolerance: 1e-9);

        // Uncertainty of the exponent, rectangular: bound/√3 times the logarithm of the speed ratio.
        double plain = same.MotorTemperature.Change.Ci95!.Value.Width / 2,
            u = 28 * factor * Math.Log(1.03) * bound / Math.Sqrt(3);
        Assert.Equal(
            Math.Sqrt(plain * plain + Math.Pow(1.959964 * u, 2)),
            c.MotorTemperature.Change.Ci95!.Value.Width / 2,
            tolerance: 1e-4
        );
    }

    [Fact]
    public void Without_hover_on_one_side_the_flights_are_not_comparable()
    {
        Comparison c = Compare(Usual, Usual with { HoverS = 0 });
        Assert.Equal(Verdict.NotComparable, c.Verdict);
        Assert.Equal(["after"], Assert.IsType<NoHoverInFlights>(c.Reasons[0]).Flights);
    }

    [Fact]
    public void One_side_without_ESC_data_is_named()
    {
        Comparison c = Compare(Usual, Usual with { HasTelemetry = false });
        Assert.Equal(Verdict.NotComparable, c.Verdict);
        Assert.Equal(["after"], Assert.IsType<TelemetryOnOneSide>(c.Reasons[0]).Flights);
        Assert.Equal(new LogTelemetry(GroupIsKnown: false), c.NextSteps[0]);
    }

    [Fact]
    public void No_ESC_data_on_either_side_leaves_the_calls_unknown_and_compares_levels()
    {
        Comparison c = Compare(Usual with { HasTelemetry = false }, Usual with { HasTelemetry = false });
        Assert.Equal(Verdict.NoClearChange, c.Verdict);
        Assert.Equal(CallKind.Unknown, c.Vibration.Kind);
        Assert.Contains(c.Reasons, r => r is ChangeUnknown { Quantity: Quantity.Vibration });
        Assert.Contains(c.Reasons, r => r is LevelsUnchanged);
        Assert.Equal((new NoFlightWithTelemetry(), new NoFlightWithTelemetry()), (c.MotorTemperature.Why, c.EscTemperature.Why));
    }

    [Fact]
    public void Without_ambient_temperatures_are_unknown_and_the_next_step_says_what_to_do()
    {
        Comparison c = Compare(Rough, Usual with { AmbientC = null });
        Assert.Equal(CallKind.Unknown, c.MotorTemperature.Kind);
        Assert.Equal(new KnownOnOneSide(After: false, new AmbientUnknown()), c.MotorTemperature.Why);
        Assert.Contains(c.NextSteps, s => s is GiveAmbient);
        Assert.Equal(Verdict.Improved, c.Verdict);
    }

    [Fact]
    public void An_ambient_taken_from_a_cold_start_widens_the_interval_of_rises()
    {
        double Width(bool given) => Compare(Rough, Usual with { AmbientGiven = given }).MotorTemperature.Change.Ci95!.Value.Width;
        Assert.True(Width(false) > Width(true) * 1.05);
    }

    [Fact]
    public void Flights_swapped_by_date_are_not_compared_unless_asked()
    {
        Comparison c = Compare(
            Rough with
            {
                StartedUtc = new(2026, 5, 2, 0, 0, 0, DateTimeKind.Utc),
            },
            Usual with
            {
                StartedUtc = new(2026, 5, 1, 0, 0, 0, DateTimeKind.Utc),
            }
        );
        Assert.Equal(Verdict.NotComparable, c.Verdict);
        Assert.IsType<StagesOutOfOrder>(c.Reasons[0]);
        Assert.False(c.Conditions.Single(x => x.Kind == ConditionKind.Dates).Matched);
        Assert.IsType<CheckStageOrder>(c.NextSteps[0]);
    }

    [Fact]
    public void A_turned_IMU_is_named()
    {
        Assert.True(Compare(Usual, Usual).Conditions.Single(x => x.Kind == ConditionKind.ImuAxes).Matched);
        Assert.False(Compare(Usual, Usual with { ImuTurnDeg = 12 }).Conditions.Single(x => x.Kind == ConditionKind.ImuAxes).Matched);
    }

    [Fact]
    public void Tilt_effect_is_a_slope_where_the_flights_show_it()
    {
        double[] found = [0.6, 0.05, 0.5, 0.1, 0.3, 0.2],
            left = [0.05, 0.05, 0.05, 0.08, 0.05, 0.06];
        MadeFlights before = Usual with { Order1 = [.. found.Select(t => 0.4 * Math.Pow(10, 10 * t / 20))] };
        MadeFlights after = Usual with { Order1 = [.. left.Select(t => 0.4 * Math.Pow(10, 10 * t / 20))] };
        TiltEffect effect = Compare(before, after, Survey(found, left)).TiltEffect;
        // Simulated with 10 dB per degree.
        Assert.Equal(10, effect.SlopePerDeg.Value!.Value, tolerance: 1e-6);
        Assert.Equal(6, effect.MotorCount);
    }

    [Fact]
    public void Three_straightened_motors_among_six_show_the_effect_though_the_other_three_scatter()
    {
        // Simulated: 20 dB per degree, with a scatter of half a dB on each motor.
        double[] found = [0.4, 0.0, 0.4, 0.05, 0.25, 0.05],
            left = [0.0, 0.0, 0.0, 0.0, 0.05, 0.0],
            scatterDb = [0.3, 0.5, -0.4, 0.2, -0.3, 0.6];
        MadeFlights before = Usual with { Order1 = [.. found.Select(t => 0.4 * Math.Pow(10, t))] };
        MadeFlights after = Usual with { Order1 = [.. left.Zip(scatterDb, (t, s) => 0.4 * Math.Pow(10, t + s / 20))] };
        TiltEffect effect = Compare(before, after, Survey(found, left)).TiltEffect;
        Assert.True(effect.SlopePerDeg.Ci95!.Value.Contains(20));
        Assert.True(effect.SlopePerDeg.Ci95!.Value.Low > 5);
    }

    [Fact]
    public void Tilt_effect_is_silent_where_the_flights_do_not_show_it()
    {
        TiltEffect effect = Compare(
            Usual,
            Usual with
            {
                Order1 = [0.49, 0.47, 0.6, 0.46, 0.57, 0.42],
            },
            Survey([0.6, 0.05, 0.5, 0.1, 0.3, 0.2], [0.05, 0.05, 0.05, 0.08, 0.05, 0.06])
        ).TiltEffect;
        Assert.False(effect.SlopePerDeg.IsKnown);
        Assert.IsType<TiltEffectNotShown>(effect.SlopePerDeg.Why);
    }

    [Fact]
    public void A_motor_whose_tilt_improved_but_not_its_vibration_is_named_with_what_to_check()
    {
        Comparison c = Compare(
            Rough,
            Usual with
            {
                Order1 = [0.5, 0.45, 1.31, 0.48, 0.55, 0.42],
            },
            Survey([0.4, 0.05, 0.5, 0.1, 0.3, 0.1], [0.05, 0.05, 0.05, 0.08, 0.05, 0.06])
        );
        var finding = Assert.Single(c.Findings);
        Assert.Equal(("tilt-better-vibration-not", "M3"), (finding.Code, finding.Motor));
        Assert.Equal(0.45, Assert.IsType<TiltReducedVibrationNot>(finding.Cause).TakenOutDeg, 1e-9);
        Assert.Contains(c.NextSteps, s => s is FollowFinding { Finding: TiltReducedVibrationNot { Motor: "M3" } });
    }

    [Fact]
    public void Where_the_answer_is_clear_no_more_flights_are_suggested()
    {
        Comparison c = Compare(Rough, Usual);
        Assert.Equal(Verdict.Improved, c.Verdict);
        Assert.DoesNotContain(c.NextSteps, s => s is FlyLonger or FlyMoreFlights);
    }

    // JCGM 100:2008 (GUM), 5.2.2, equation (16), for fully correlated inputs: an error common to all orders does not average out over them,
    // so the square of the fault's uncertainty is added in full to that of the total.
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_fault_that_moves_all_orders_of_a_flight_widens_their_total_in_full(bool sameOrdersKnown)
    {
        const double faultDb = 1.2;
        MadeFlights sound = Usual with { KnowsOrder2OfFirst = sameOrdersKnown };
        double without = Half(Compare(Usual, sound)),
            with = Half(
                Compare(Usual, sound with { Faults = [Fault(new OrdersExceedSpectrum(1.5), QualityEffect.Widened, addedDb: faultDb)] })
            );
        Assert.InRange(Math.Sqrt(with * with - without * without), 0.9 * 1.96 * faultDb, 1.1 * 1.96 * faultDb);

        static double Half(Comparison c) => c.Vibration.Change.Ci95!.Value is var ci ? (ci.High - ci.Low) / 2 : 0;
    }

    // The rise is proportional to speed cubed (losses of a motor, docs/methods/comparison.md): an error of 1 % in the speed is 3 % of the
    // rise.
    [Fact]
    public void A_rise_corrected_by_speeds_that_the_lines_contradict_is_uncertain_by_the_correction()
    {
        MadeFlights faster = Usual with { Rpm = 3400 * 1.01 };
        Estimate trusted = Compare(Usual, faster).MotorTemperature.Change,
            doubted =
                Compare(Usual, faster with { Faults = [Fault(new PhaseBroken(0.3), QualityEffect.Withheld)] }).MotorTemperature.Change;
        double correctionC = 28 * (1 - Math.Pow(1.01, -3)),
            half = trusted.Ci95!.Value.Width / 2;
        Assert.Equal(trusted.Value!.Value, doubted.Value!.Value, tolerance: 1e-9);
        Assert.Equal(Math.Sqrt(half * half + Math.Pow(1.5 * correctionC, 2)), doubted.Ci95!.Value.Width / 2, tolerance: 0.05);
    }

    private static QualityIssue Fault(Reason cause, QualityEffect effect, double addedDb = 0) =>
        new()
        {
            Cause = cause,
            Track = "imu",
            Effect = effect,
            Affects = Answers.Vibration,
            AddedDb = addedDb,
        };

    [Fact]
    public void Without_as_left_readings_the_comparison_goes_on_and_says_so()
    {
        Comparison c = Compare(Rough, Usual, Survey([0.4, 0.05, 0.5, 0.1, 0.3, 0.1], null));
        Assert.Equal(Verdict.Improved, c.Verdict);
        Assert.IsType<TiltsAfterUnknown>(c.Conditions.Single(x => x.Kind == ConditionKind.Survey).Why);
        Assert.Null(c.Motors[0].TiltAfter);
        Assert.False(c.YawTrim.PredictedAfter.IsKnown);
    }

    [Fact]
    public void Without_a_survey_the_comparison_goes_on_and_says_so() =>
        Assert.IsType<ComparedWithoutSurvey>(Compare(Rough, Usual).Conditions.Single(x => x.Kind == ConditionKind.Survey).Why);

    [Fact]
    public void Thresholds_of_the_job_change_the_calls() =>
        Assert.Equal(CallKind.NoClearChange, Compare(Rough, Usual, options: new ComparisonOptions { MinChangeDb = 12 }).Vibration.Kind);

    [Fact]
    public void The_spread_between_motors_is_a_number_of_its_own()
    {
        TemperatureSpread spread = Compare(Rough, Usual).MotorSpread!;
        Assert.Equal((13.0, 2.0, -11.0), (spread.BeforeC.Value!.Value, spread.AfterC.Value!.Value, spread.ChangeC.Value!.Value));
        Assert.Equal(CallKind.Improved, spread.Call);
    }

    [Fact]
    public void Motors_with_only_a_changed_load_are_distinguished_from_those_with_changed_cooling()
    {
        // Power is proportional to speed cubed: 0.96³ = 0.885, 1.04³ = 1.125. M1 and M4 have the steady rises expected from it, M3 has a
        // lower load and better cooling, M6 is warmer at an unchanged load, and M2 is faster without being warmer.
        MadeFlights before = Usual with
        {
            MotorRiseC = [36, 26, 36, 26, 27, 26],
        };
        MadeFlights after = Usual with { MotorRiseC = [36 * 0.885, 26, 26, 26 * 1.125, 27, 33], RpmShare = [0.96, 1.04, 0.96, 1.04, 1, 1] };
        Comparison c = Compare(before, after);
        Assert.Equal(
            [RiseCause.Load, RiseCause.NotAsked, RiseCause.Both, RiseCause.Load, RiseCause.NotAsked, RiseCause.Unit],
            c.Motors.Select(m => m.MotorRiseCause)
        );
        Assert.Equal(0, c.Motors[0].MotorRiseAtEqualLoadC.Value!.Value, tolerance: 0.02);
        Assert.Contains(
            c.Reasons,
            r => r is UnitsChanged { Cooler: false, ByLoad: true, Esc: false, Units: [{ Motor: "M4", ChangeC: > 3 and < 4 }] }
        );
        Assert.Contains(
            c.Reasons,
            r => r is UnitsChanged { Cooler: true, ByLoad: true, Esc: false, Units: [{ Motor: "M1", ChangeC: < -4 and > -5 }] }
        );
        Assert.Contains(
            c.Reasons,
            r => r is UnitsChanged { Cooler: true, ByLoad: false, Esc: false, Units: [{ Motor: "M3", ChangeC: -10 }, ..] }
        );
        Assert.Contains(
            c.Reasons,
            r => r is UnitsChanged { Cooler: false, ByLoad: false, Esc: false, Units: [{ Motor: "M6", ChangeC: 7 }, ..] }
        );

        // The correction for the load has an uncertainty of 19 % of itself (speed to the power 3 ± 1, rectangular).
        double plain = c.Motors[4].MotorRiseAtEqualLoadC.Ci95!.Value.Width / 2,
            out1 = 36 * 0.885 * (1 / Math.Pow(0.96, 3) - 1);
        Assert.Equal(
            Math.Sqrt(plain * plain + Math.Pow(1.96 * 0.19 * out1, 2)),
            c.Motors[0].MotorRiseAtEqualLoadC.Ci95!.Value.Width / 2,
            tolerance: 1e-9
        );
    }

    [Fact]
    public void A_motor_with_less_load_is_distinguished_from_one_that_cools_better()
    {
        MotorComparison motor = Compare(Rough, Usual).Motors[0];
        // Currents are equal, so the whole change remains at equal load.
        Assert.Equal(1, motor.LoadRatio!.Value, tolerance: 1e-12);
        Assert.Equal(27 - 33, motor.MotorRiseAtEqualLoadC.Value!.Value, tolerance: 1e-9);
    }
}
