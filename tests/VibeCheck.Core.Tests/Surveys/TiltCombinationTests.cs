using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Surveys;

public sealed class TiltCombinationTests
{
    private static readonly Airframe _hexa = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2);

    private static GaugeReading Read(string? id, GaugePlace where, double signedDeg, TiltDirection direction = TiltDirection.Across) =>
        new()
        {
            MotorId = id,
            When = SurveyTime.AsFound,
            Where = where,
            Direction = direction,
            LowDeg = Math.Abs(signedDeg),
            HighDeg = Math.Abs(signedDeg),
            LowSide =
                signedDeg == 0 ? LowSide.Level
                : direction == TiltDirection.Across
                    ? signedDeg > 0 ? LowSide.Right
                        : LowSide.Left
                : signedDeg > 0 ? LowSide.Out
                : LowSide.In,
        };

    [Fact]
    public void A_knock_that_moves_a_mount_is_reported_and_the_tilt_is_the_one_after_it()
    {
        Survey survey = TiltCombination.Of(
            _hexa,
            [
                Read("M1", GaugePlace.Frame, 0),
                Read("M1", GaugePlace.Frame, 0.1),
                Read("M1", GaugePlace.Mount, 0.1),
                Read("M1", GaugePlace.Mount, 0.2),
                Read("M1", GaugePlace.Mount, 0.6) with
                {
                    Knock = Knock.After,
                },
                Read("M1", GaugePlace.Mount, 0.6) with
                {
                    Knock = Knock.After,
                },
            ]
        );
        MountMovement knock = Assert.Single(survey.Knocks);
        Assert.True(knock.Moved);
        Assert.Equal(0.45, knock.MovedDeg.Value!.Value, 1e-9);
        Assert.Equal(0.55, survey.AsFound[0].AcrossDeg.Value!.Value, 1e-9);
        Assert.Equal(("M1", MoveOccasion.Knock), (knock.MotorId, knock.Occasion));
    }

    [Fact]
    public void A_knock_that_moves_nothing_adds_its_readings_to_the_mean()
    {
        Survey survey = TiltCombination.Of(
            _hexa,
            [
                Read("M1", GaugePlace.Frame, 0),
                Read("M1", GaugePlace.Mount, 0.4),
                Read("M1", GaugePlace.Mount, 0.5) with
                {
                    Knock = Knock.After,
                },
            ]
        );
        Assert.False(Assert.Single(survey.Knocks).Moved);
        Assert.Equal(0.45, survey.AsFound[0].AcrossDeg.Value!.Value, 1e-9);
    }

    [Fact]
    public void As_left_last_time_is_compared_with_as_found_now()
    {
        var last = new Survey([], [new("M1", Estimate.Around(0.02, 0.08), Estimate.Unknown(new NotMeasured()))]);
        var now = new Survey([new("M1", Estimate.Around(0.31, 0.08), Estimate.Around(0, 0.1))], []);
        MountMovement move = Assert.Single(MountMovement.Since(last, now));

        // Two independent uncertainties of ± 0.08 give ± 0.113.
        Assert.Equal(0.29, move.MovedDeg.Value!.Value, 1e-9);
        Assert.Equal(0.08 * Math.Sqrt(2), move.MovedDeg.Ci95!.Value.Width / 2, 1e-9);
        Assert.True(move.Moved);
    }

    [Fact]
    public void The_zero_error_drops_out_where_both_places_were_read_alike_and_counts_where_not()
    {
        GaugeReading[] alike = [Read("M1", GaugePlace.Frame, 0.1), Read("M1", GaugePlace.Mount, 0.5)];
        GaugeReading[] mixed = [alike[0], alike[1] with { Turned = true }];
        Assert.DoesNotContain(TiltCombination.Of(_hexa, alike).AsFound[0].AcrossBudget!.Parts, p => p.SharedError == "zero-error");
        UncertaintyPart zero = Assert.Single(
            TiltCombination.Of(_hexa, mixed).AsFound[0].AcrossBudget!.Parts,
            p => p.SharedError == "zero-error"
        );

        // Nothing stated: two steps of 0.1°, rectangular, twice (the error counts +1 in one reading and -1 in the other).
        Assert.Equal(2 * 0.2 / Math.Sqrt(3), zero.Contribution, 1e-9);
    }

    [Fact]
    public void A_zero_error_measured_by_reversal_is_subtracted_where_it_does_not_cancel()
    {
        // The gauge reads 0.2° too far to the right. M1 both ways: 0.5 and 0.1 (turned). M2's frame straight 0.2, its mount turned 0.1:
        // true 0 and 0.3.
        Survey survey = TiltCombination.Of(
            _hexa,
            [
                Read("M1", GaugePlace.Frame, 0.5),
                Read("M1", GaugePlace.Frame, 0.1) with
                {
                    Turned = true,
                },
                Read("M2", GaugePlace.Frame, 0.2),
                Read("M2", GaugePlace.Mount, 0.1) with
                {
                    Turned = true,
                },
            ]
        );
        Assert.Equal(0.2, survey.Gauge!.ZeroErrorDeg.Value!.Value, 1e-9);
        Assert.Equal(0.3, survey.Found("M2")!.AcrossDeg.Value!.Value, 1e-9);
    }

    [Fact]
    public void A_frame_reading_taken_once_follows_the_arm_whatever_way_the_aircraft_lies()
    {
        // The frame leans 0.6° to the right and 0.4° to the nose; mounts level with the frame show its lean in their own directions.
        var readings = new List<GaugeReading> { Read(null, GaugePlace.Frame, 0.6), Read(null, GaugePlace.Frame, 0.4, TiltDirection.Along) };
        foreach (Motor m in _hexa.Motors)
        {
            (double sin, double cos) = Math.SinCos(m.AzimuthDeg * Math.PI / 180);
            readings.Add(Read(m.Id, GaugePlace.Mount, 0.6 * cos - 0.4 * sin));
            readings.Add(Read(m.Id, GaugePlace.Mount, 0.6 * sin + 0.4 * cos, TiltDirection.Along));
        }

        Assert.Contains(TiltCombination.Of(_hexa, readings).Cautions, c => c is FrameReadOnceAtHub { AccuracyDeg: 0.002 });
        Survey survey = TiltCombination.Of(_hexa with { Gauge = new(0.001, null, null) }, readings);
        Assert.All(
            survey.AsFound,
            t => Assert.Equal((0.0, 0.0), (Math.Round(t.AcrossDeg.Value!.Value, 9), Math.Round(t.AlongDeg.Value!.Value, 9)))
        );
    }

    [Fact]
    public void More_readings_make_the_scatter_smaller_and_leave_what_the_steps_hide()
    {
        Survey survey = TiltCombination.Of(
            _hexa,
            [
                Read("M1", GaugePlace.Frame, 0),
                Read("M1", GaugePlace.Frame, 0.1),
                Read("M1", GaugePlace.Mount, 0.3),
                Read("M1", GaugePlace.Mount, 0.2),
            ]
        );
        UncertaintyBudget now = survey.AsFound[0].AcrossBudget!,
            more = now.WithMore(6);
        foreach ((UncertaintyPart few, UncertaintyPart many) in now.Parts.Zip(more.Parts))
        {
            // Of the variance above the floor, a quarter remains when two readings become eight.
            Assert.Equal(
                (few.Standard * few.Standard - few.Floor * few.Floor) / 4,
                many.Standard * many.Standard - many.Floor * many.Floor,
                1e-12
            );
            Assert.Equal(few.Name.Contains("steps", StringComparison.Ordinal), few.Floor > 0);
        }
    }

    [Fact]
    public void As_left_without_its_own_frame_uses_the_one_as_found_and_says_so()
    {
        Survey survey = TiltCombination.Of(
            _hexa,
            [
                Read("M1", GaugePlace.Frame, 0.1),
                Read("M1", GaugePlace.Mount, 0.5),
                Read("M1", GaugePlace.Mount, 0.1) with
                {
                    When = SurveyTime.AsLeft,
                },
            ]
        );
        Assert.Equal(0, survey.Left("M1")!.AcrossDeg.Value!.Value, 1e-12);
        Assert.Contains(new FrameAsFoundUsed("M1", TiltDirection.Across), survey.Cautions);
    }

    /// <summary>Simulated surveys with known truth: the 95 % intervals contain the truth about as often as stated.</summary>
    [Theory]
    [InlineData(0.1, 1)]
    [InlineData(0.1, 2)]
    [InlineData(0.1, 4)]
    [InlineData(0.05, 1)]
    [InlineData(0.05, 2)]
    [InlineData(0.05, 4)]
    public void The_interval_of_a_tilt_contains_the_truth_in_simulated_surveys(double stepDeg, int readings)
    {
        var random = new Random(20261125);
        int held = 0,
            all = 0;
        for (int trial = 0; trial < 120; trial++)
        {
            // The true repeatability of the gauge is drawn independently of the value that the calculation assumes.
            MadeSurvey made = MadeSurvey.Make(_hexa, random, stepDeg, readings, scatterDeg: 0.01 * Math.Pow(5, random.NextDouble()));
            Survey survey = TiltCombination.Of(_hexa, made.Readings);
            for (int m = 0; m < 6; m++)
            {
                all++;
                held += survey.AsFound[m].AcrossDeg.Ci95!.Value.Contains(made.TiltAcrossDeg[m]) ? 1 : 0;
            }
        }

        Assert.InRange((double)held / all, 0.90, 0.99);
    }

    [Fact]
    public void Single_readings_carry_the_usual_repeatability_and_say_so()
    {
        Survey survey = TiltCombination.Of(_hexa, [Read("M1", GaugePlace.Frame, 0.1), Read("M1", GaugePlace.Mount, 0.5)]);

        // Twice a step of 0.1° (0.1/√12) and twice 0.03°/√3, whose degrees of freedom of 2 count once for both.
        UncertaintyBudget budget = survey.AsFound[0].AcrossBudget!;
        Assert.Equal(Math.Sqrt(0.01 / 6 + 2 * 0.0003), budget.Combined, 1e-9);
        Assert.Equal(Math.Pow(0.01 / 6 + 0.0006, 2) / (0.0006 * 0.0006 / 2), budget.EffectiveFreedom, 1e-6);
        Assert.Contains(
            survey.Cautions,
            c => c is NothingReadTwice { IsGiven: false } usual && Math.Abs(usual.RepeatabilityDeg - 0.03 / Math.Sqrt(3)) < 1e-9
        );
    }

    [Fact]
    public void Repeats_over_the_whole_survey_are_pooled_with_what_was_known_before()
    {
        // A display of 0.001° hides nothing: six pairs that differ by 0.08° each have a pooled variance of 0.0032 with 6 degrees of
        // freedom.
        GaugeReading[] readings =
        [
            .. _hexa.Motors.SelectMany(m =>
                new[] { Read(m.Id, GaugePlace.Frame, 0), Read(m.Id, GaugePlace.Mount, 0.301), Read(m.Id, GaugePlace.Mount, 0.381) }
            ),
        ];
        GaugeQuality usual = TiltCombination.Of(_hexa, readings).Gauge!,
            stated = TiltCombination.Of(_hexa with { Gauge = new(null, null, 0.05) }, readings).Gauge!;
        Assert.Equal((0.0032, 6), (Math.Round(usual.ScatterDeg!.Value * usual.ScatterDeg.Value, 9), usual.RepeatCount));
        Assert.Equal(Math.Sqrt((2 * 0.0003 + 6 * 0.0032) / 8), usual.RepeatabilityDeg, 1e-5);
        Assert.Equal(8, usual.RepeatabilityFreedom, 1e-2);
        Assert.Equal(Math.Sqrt((8 * 0.0025 + 6 * 0.0032) / 14), stated.RepeatabilityDeg, 1e-5);
        Assert.Equal(14, stated.RepeatabilityFreedom, 1e-2);
    }

    [Fact]
    public void Repeats_that_all_agree_on_a_coarse_display_count_for_less()
    {
        GaugeReading[] readings =
        [
            .. _hexa.Motors.SelectMany(m =>
                new[]
                {
                    Read(m.Id, GaugePlace.Frame, 0),
                    Read(m.Id, GaugePlace.Frame, 0),
                    Read(m.Id, GaugePlace.Mount, 0.3),
                    Read(m.Id, GaugePlace.Mount, 0.3),
                }
            ),
        ];
        GaugeQuality gauge = TiltCombination.Of(_hexa, readings).Gauge!;
        Assert.Equal(0.0, gauge.ScatterDeg!.Value, 1e-12);
        Assert.InRange(gauge.RepeatabilityDeg, 0.008, 0.014);
        Assert.InRange(gauge.RepeatabilityFreedom, 2 + 12 * 0.25, 2 + 12 * 0.3);
    }

    [Fact]
    public void A_frame_read_once_moves_all_tilts_together_and_so_hardly_the_split_of_an_even_ring()
    {
        var gauge = new GaugeData(0.1, 1e-6, 0.2);
        GaugeReading[] mounts = [.. _hexa.Motors.Select(m => Read(m.Id, GaugePlace.Mount, 0))];
        UncertaintyBudget Split(params GaugeReading[] frames) =>
            SplitPrediction.Of(_hexa, TiltCombination.Of(_hexa with { Gauge = gauge }, [.. mounts, .. frames]).AsFound).Prediction!.Budget;
        UncertaintyBudget once = Split(Read(null, GaugePlace.Frame, 0), Read(null, GaugePlace.Frame, 0, TiltDirection.Along));
        UncertaintyBudget each = Split([.. _hexa.Motors.Select(m => Read(m.Id, GaugePlace.Frame, 0))]);

        // Σ cos ψ and Σ sin ψ over a symmetric ring are 0: the common error cancels, while six independent errors add half of the variance.
        Assert.All(
            once.Parts.Where(p => p.SharedError?.StartsWith("frame", StringComparison.Ordinal) == true),
            p => Assert.Equal(0, p.Contribution, 1e-6)
        );
        double Tilts(UncertaintyBudget b) =>
            b.Parts.Where(p => !SplitPrediction.OtherThanTilts.Contains(p.Name)).Sum(p => p.Contribution * p.Contribution);
        Assert.Equal(2, Tilts(each) / Tilts(once), 1e-6);
    }
}
