using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Uncertainty;
using VibeCheck.FlightMaker;

namespace VibeCheck.Core.Tests.Surveys;

public sealed class TiltReckoningTests
{
    private static readonly Airframe _hexa = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2);

    private static GaugeReading Read(string? id, GaugePlace where, double signedDeg, TiltDirection direction = TiltDirection.Across) => new()
    {
        MotorId = id,
        When = SurveyTime.AsFound,
        Where = where,
        Direction = direction,
        LowDeg = Math.Abs(signedDeg),
        HighDeg = Math.Abs(signedDeg),
        LowSide = signedDeg == 0 ? LowSide.Level : direction == TiltDirection.Across
            ? signedDeg > 0 ? LowSide.Right : LowSide.Left : signedDeg > 0 ? LowSide.Out : LowSide.In,
    };

    [Fact]
    public void A_knock_that_moves_a_mount_is_told_and_the_tilt_is_the_one_after_it()
    {
        Survey survey = TiltReckoning.Of(_hexa,
        [
            Read("M1", GaugePlace.Frame, 0), Read("M1", GaugePlace.Frame, 0.1),
            Read("M1", GaugePlace.Mount, 0.1), Read("M1", GaugePlace.Mount, 0.2),
            Read("M1", GaugePlace.Mount, 0.6) with { Knock = Knock.After }, Read("M1", GaugePlace.Mount, 0.6) with { Knock = Knock.After },
        ]);
        MountMovement knock = Assert.Single(survey.Knocks);
        Assert.True(knock.Moved);
        Assert.Equal(0.45, knock.MovedDeg.Value!.Value, 1e-9);
        Assert.Equal(0.55, survey.AsFound[0].AcrossDeg.Value!.Value, 1e-9);
        Assert.StartsWith("M1 moved by 0.45° ± ", knock.Sentence, StringComparison.Ordinal);
        Assert.Contains("Look for play first", knock.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_knock_that_moves_nothing_adds_its_readings_to_the_mean()
    {
        Survey survey = TiltReckoning.Of(_hexa,
        [
            Read("M1", GaugePlace.Frame, 0), Read("M1", GaugePlace.Mount, 0.4), Read("M1", GaugePlace.Mount, 0.5) with { Knock = Knock.After },
        ]);
        Assert.False(Assert.Single(survey.Knocks).Moved);
        Assert.Equal(0.45, survey.AsFound[0].AcrossDeg.Value!.Value, 1e-9);
    }

    [Fact]
    public void As_left_last_time_is_held_against_as_found_now()
    {
        var last = new Survey([], [new("M1", Estimate.Around(0.02, 0.08), Estimate.Unknown("not read"))]);
        var now = new Survey([new("M1", Estimate.Around(0.31, 0.08), Estimate.Around(0, 0.1))], []);
        MountMovement move = Assert.Single(MountMovement.Since(last, now));

        // Two independent ± 0.08 make ± 0.113.
        Assert.Equal(0.29, move.MovedDeg.Value!.Value, 1e-9);
        Assert.Equal(0.08 * Math.Sqrt(2), move.MovedDeg.Ci95!.Value.Width / 2, 1e-9);
        Assert.True(move.Moved);
    }

    [Fact]
    public void The_zero_error_drops_out_where_both_places_were_read_alike_and_counts_where_not()
    {
        GaugeReading[] alike = [Read("M1", GaugePlace.Frame, 0.1), Read("M1", GaugePlace.Mount, 0.5)];
        GaugeReading[] mixed = [alike[0], alike[1] with { Turned = true }];
        Assert.DoesNotContain(TiltReckoning.Of(_hexa, alike).AsFound[0].AcrossBudget!.Parts, p => p.Name.StartsWith("zero error", StringComparison.Ordinal));
        UncertaintyPart zero = Assert.Single(TiltReckoning.Of(_hexa, mixed).AsFound[0].AcrossBudget!.Parts, p => p.Name.StartsWith("zero error", StringComparison.Ordinal));

        // Nothing stated: two steps of 0.1°, rectangular, twice (it counts +1 in one reading and -1 in the other).
        Assert.Equal(2 * 0.2 / Math.Sqrt(3), zero.Contribution, 1e-9);
    }

    [Fact]
    public void A_zero_error_shown_by_reversal_is_taken_off_where_it_does_not_cancel()
    {
        // The gauge reads 0.2° too much to the right. M1 both ways: 0.5 and 0.1 (turned). M2's frame straight 0.2, its mount turned 0.1: true 0 and 0.3.
        Survey survey = TiltReckoning.Of(_hexa,
        [
            Read("M1", GaugePlace.Frame, 0.5), Read("M1", GaugePlace.Frame, 0.1) with { Turned = true },
            Read("M2", GaugePlace.Frame, 0.2), Read("M2", GaugePlace.Mount, 0.1) with { Turned = true },
        ]);
        Assert.Equal(0.2, survey.Gauge!.ZeroErrorDeg.Value!.Value, 1e-9);
        Assert.Equal(0.3, survey.Found("M2")!.AcrossDeg.Value!.Value, 1e-9);
    }

    [Fact]
    public void A_frame_reading_taken_once_follows_the_arm_whatever_way_the_aircraft_lies()
    {
        // The frame leans 0.6° to the right and 0.4° to the nose; mounts level with the frame read its lean in their own directions.
        var readings = new List<GaugeReading> { Read(null, GaugePlace.Frame, 0.6), Read(null, GaugePlace.Frame, 0.4, TiltDirection.Along) };
        foreach (Motor m in _hexa.Motors)
        {
            (double sin, double cos) = Math.SinCos(m.AzimuthDeg * Math.PI / 180);
            readings.Add(Read(m.Id, GaugePlace.Mount, 0.6 * cos - 0.4 * sin));
            readings.Add(Read(m.Id, GaugePlace.Mount, 0.6 * sin + 0.4 * cos, TiltDirection.Along));
        }

        Survey survey = TiltReckoning.Of(_hexa with { Gauge = new(0.001, null, null) }, readings);
        Assert.All(survey.AsFound, t => Assert.Equal((0.0, 0.0), (Math.Round(t.AcrossDeg.Value!.Value, 9), Math.Round(t.AlongDeg.Value!.Value, 9))));
    }

    [Fact]
    public void More_readings_make_the_scatter_smaller_and_leave_the_steps()
    {
        Survey survey = TiltReckoning.Of(_hexa, [Read("M1", GaugePlace.Frame, 0), Read("M1", GaugePlace.Frame, 0.1), Read("M1", GaugePlace.Mount, 0.3), Read("M1", GaugePlace.Mount, 0.2)]);
        UncertaintyBudget now = survey.AsFound[0].AcrossBudget!, more = now.WithMore(6);
        Assert.Equal(now.Parts.Where(p => p.Readings is not null).Select(p => p.Standard / 2), more.Parts.Where(p => p.Readings is not null).Select(p => p.Standard));
        Assert.Equal(now.Parts.Where(p => p.Readings is null), more.Parts.Where(p => p.Readings is null));
    }

    [Fact]
    public void As_left_without_its_own_frame_uses_the_one_as_found_and_says_so()
    {
        Survey survey = TiltReckoning.Of(_hexa,
        [
            Read("M1", GaugePlace.Frame, 0.1), Read("M1", GaugePlace.Mount, 0.5), Read("M1", GaugePlace.Mount, 0.1) with { When = SurveyTime.AsLeft },
        ]);
        Assert.Equal(0, survey.Left("M1")!.AcrossDeg.Value!.Value, 1e-12);
        Assert.Contains("M1 as left has no frame reading across the arm: the one as found is used, which is right only if the aircraft has not been moved since.", survey.Cautions);
    }

    /// <summary>Made surveys of known truth: the 95 % intervals hold the truth about as often as they say.</summary>
    [Theory]
    [InlineData(0.1)]
    [InlineData(0.05)]
    public void The_interval_of_a_tilt_holds_the_truth_in_made_surveys(double stepDeg)
    {
        var random = new Random(20261125);
        int held = 0, all = 0;
        for (int trial = 0; trial < 120; trial++)
        {
            MadeSurvey made = MadeSurvey.Make(_hexa, random, stepDeg, readings: 2);
            Survey survey = TiltReckoning.Of(_hexa, made.Readings);
            for (int m = 0; m < 6; m++)
            {
                all++;
                held += survey.AsFound[m].AcrossDeg.Ci95!.Value.Contains(made.TiltAcrossDeg[m]) ? 1 : 0;
            }
        }

        // 720 tilts; those of one survey share its scatter, so a little more room than three sigma of 0.8 %.
        Assert.InRange((double)held / all, 0.92, 0.99);
    }

    [Theory]
    [InlineData(0.1)]
    [InlineData(0.05)]
    public void The_split_predicted_from_made_surveys_meets_that_of_the_made_hover(double stepDeg)
    {
        var random = new Random(7);
        var misses = new List<double>();
        for (int trial = 0; trial < 24; trial++)
        {
            MadeSurvey made = MadeSurvey.Make(_hexa, random, stepDeg, readings: 2);
            double truth = made.TrueSplit(seed: trial);
            misses.Add(Math.Abs(ThrustBalance.PredictSplit(_hexa, TiltReckoning.Of(_hexa, made.Readings).AsFound).Value!.Value - truth));
        }

        misses.Sort();
        Assert.True(misses[misses.Count / 2] < 0.02, $"median {misses[misses.Count / 2]}");
    }
}
