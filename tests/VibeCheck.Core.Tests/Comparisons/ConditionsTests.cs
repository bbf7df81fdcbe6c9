using VibeCheck.Core.Comparisons;
using static VibeCheck.Core.Tests.Comparisons.MadeFlights;

namespace VibeCheck.Core.Tests.Comparisons;

/// <summary>Conditions that must agree for a comparison; the limits are those of docs/methods/comparison.md.</summary>
public sealed class ConditionsTests
{
    private static readonly MadeFlights s_usual = new();

    [Theory]
    [InlineData(1.059, true)]
    [InlineData(1.061, false)]
    [InlineData(0.941, true)]
    [InlineData(0.939, false)]
    public void Speeds_up_to_6_percent_apart_can_be_compared(double ratio, bool comparable)
    {
        Comparison c = Compare(s_usual, s_usual with { Rpm = 3400 * ratio });
        Assert.Equal(comparable, c.Verdict != Verdict.NotComparable);
        Condition speed = One(c, ConditionKind.HoverSpeed);
        Assert.Equal(comparable, speed.Matched);
        Assert.Equal((new AtRpm(3400), new AtRpm(3400 * ratio)), (speed.Before, speed.After));
    }

    [Fact]
    public void Speeds_more_than_1_percent_apart_are_reported_as_corrected()
    {
        Assert.Equal(new SpeedsAlike(0.01), One(Compare(s_usual, s_usual with { Rpm = 3400 * 1.009 }), ConditionKind.HoverSpeed).Why);
        Assert.Equal(
            0.011,
            Assert.IsType<SpeedsCorrected>(One(Compare(s_usual, s_usual with { Rpm = 3400 * 1.011 }), ConditionKind.HoverSpeed).Why).Share,
            tolerance: 1e-9
        );
    }

    // Commands depend on battery and tuning: only commands a third higher indicate another aircraft, and nothing is corrected by them.
    [Theory]
    [InlineData(1.29, true)]
    [InlineData(1.31, false)]
    public void Commands_are_compared_with_a_wide_limit_and_correct_nothing(double ratio, bool comparable)
    {
        Conditions conditions = Of(s_usual with { Rpm = 0.4 }, s_usual with { Rpm = 0.4 * ratio }, HoverBasis.Command);
        Condition command = conditions.All.Single(c => c.Kind == ConditionKind.HoverCommand);
        Assert.Equal((comparable, new AtCommand(0.4)), (command.Matched, command.Before));
        Assert.Equal(comparable, conditions.WhyNotComparable is null);
        Assert.Equal(1, conditions.CorrectedRatio);
        if (comparable)
        {
            Assert.Equal(new CommandsNotCorrected(), command.Why);
        }

        Assert.Equal(ratio, conditions.LevelRatio, tolerance: 1e-9);
    }

    [Fact]
    public void Flights_out_of_order_are_compared_where_that_is_asked_for()
    {
        DateTime day = new(2026, 5, 1, 0, 0, 0, DateTimeKind.Utc);
        MadeFlights first = s_usual with { StartedUtc = day },
            second = s_usual with { StartedUtc = day.AddHours(1) };
        Comparison swapped = Compare(second, first, options: new ComparisonOptions { IgnoreDates = true });
        Assert.Equal(Verdict.NoClearChange, swapped.Verdict);
        Assert.IsType<StagesMayBeSwapped>(swapped.Reasons[0]);
        Assert.False(One(swapped, ConditionKind.Dates).Matched);

        Assert.True(One(Compare(first, second), ConditionKind.Dates).Matched);
        Assert.True(One(Compare(first, first), ConditionKind.Dates).Matched);
        Assert.Null(One(Compare(first, s_usual), ConditionKind.Dates).Matched);

        // One of the two flights after was flown before the last one before.
        var order = Assert.IsType<StagesOutOfOrder>(
            Compare([first, second], [second with { StartedUtc = day.AddHours(2) }, first]).Reasons[0]
        );
        Assert.Equal((day.AddHours(1), day), (order.BeforeUtc, order.AfterUtc));
    }

    [Fact]
    public void A_short_hover_is_named_and_a_very_short_one_is_no_match()
    {
        Condition At(double seconds) => One(Compare(s_usual, s_usual with { HoverS = seconds }), ConditionKind.HoverTime);
        Assert.Equal((true, new HoverLongEnough()), (At(30).Matched, At(30).Why));
        Assert.Equal((true, new HoverIsShort(29)), (At(29).Matched, At(29).Why));
        Assert.True(At(8).Matched);
        Assert.False(At(7.9).Matched);
        Assert.Equal(new UsedHover(29, 1), Assert.IsType<HoverTimes>(At(29).After).Flights.Single());
    }

    [Theory]
    [InlineData(4.9, true)]
    [InlineData(5.1, false)]
    public void An_IMU_turned_by_more_than_5_degrees_is_named(double deg, bool matched)
    {
        Condition axes = One(Compare(s_usual, s_usual with { ImuTurnDeg = deg }), ConditionKind.ImuAxes);
        Assert.Equal(matched, axes.Matched);
        Assert.Equal(deg, Assert.IsType<GravityWithin>(axes.After).Degrees, tolerance: 0.01);
    }

    [Fact]
    public void The_IMU_is_compared_with_all_flights_and_the_speed_is_their_mean()
    {
        Comparison c = Compare([s_usual, s_usual with { Rpm = 3500 }], [s_usual with { ImuTurnDeg = 3 }, s_usual with { ImuTurnDeg = -8 }]);
        Assert.Equal(8, Assert.IsType<GravityWithin>(One(c, ConditionKind.ImuAxes).Before).Degrees, tolerance: 0.01);
        Assert.Equal(new AtRpm(3450), One(c, ConditionKind.HoverSpeed).Before);
    }

    [Fact]
    public void Telemetry_is_alike_partly_shared_or_missing()
    {
        Condition Of(MadeFlights after) => One(Compare([s_usual, s_usual], [s_usual, after]), ConditionKind.EscTelemetry);
        Condition alike = Of(s_usual),
            silent = Of(s_usual with { HasTelemetry = false });
        Assert.Equal((true, new TelemetryAlike()), (alike.Matched, alike.Why));
        Assert.Equal(
            [TelemetryChannel.Speed, TelemetryChannel.MotorTemperature, TelemetryChannel.EscTemperature],
            Assert.IsType<ReportedChannels>(alike.After).Channels
        );
        Assert.False(silent.Matched);
        Assert.Equal("after 2", Assert.IsType<SomeWithoutTelemetry>(silent.Why).Flights.Single());
        Assert.Empty(Assert.IsType<ReportedChannels>(silent.After).Channels);

        // Where one of two flights on a side has no telemetry, the other is compared.
        Assert.NotEqual(Verdict.NotComparable, Compare([s_usual], [s_usual, s_usual with { HasTelemetry = false }]).Verdict);
        MadeFlights none = s_usual with { HasTelemetry = false };
        Assert.Equal(new NoTelemetry(false), One(Compare(none, none), ConditionKind.EscTelemetry).Why);
        Assert.Equal(new AmbientNotNeeded(), One(Compare(none, none), ConditionKind.AmbientTemperature).Why);
        Assert.Equal(new OperatingPointUnknown(), One(Compare(none, none), ConditionKind.HoverSpeed).Why);
    }

    [Fact]
    public void Logs_of_different_motors_are_not_comparable_and_one_that_lacks_a_motor_is_named()
    {
        Comparison one = Compare(s_usual, s_usual with { Logged = 5 }),
            two = Compare(s_usual, s_usual with { Logged = 4 });
        Assert.DoesNotContain(Compare(s_usual, s_usual).Conditions, c => c.Kind == ConditionKind.MotorsInLog);
        Assert.Equal(
            (false, new MotorMissingFromLog()),
            (One(one, ConditionKind.MotorsInLog).Matched, One(one, ConditionKind.MotorsInLog).Why)
        );
        Assert.NotEqual(Verdict.NotComparable, one.Verdict);
        Assert.Equal(Verdict.NotComparable, two.Verdict);
        var differ = Assert.IsType<MotorsDiffer>(two.Reasons[0]);
        Assert.Equal((6, 4), (differ.Before.Single().Count, differ.After.Single().Count));
    }

    [Fact]
    public void Ambient_temperatures_are_given_guessed_or_missing()
    {
        Condition Of(MadeFlights after) => One(Compare(s_usual, after), ConditionKind.AmbientTemperature);
        Assert.Equal((true, new AmbientTakenOut()), (Of(s_usual).Matched, Of(s_usual).Why));
        Condition guessed = Of(s_usual with { AmbientGiven = false }),
            missing = Of(s_usual with { AmbientC = null });
        Assert.Equal((true, "after"), (guessed.Matched, Assert.IsType<AmbientFromColdStarts>(guessed.Why).Flights.Single()));
        Assert.Equal((null, "after"), (missing.Matched, Assert.IsType<AmbientMissing>(missing.Why).Flights.Single()));
        Assert.Null(missing.After);
        Assert.Equal(20, Assert.IsType<AmbientTemperatures>(missing.Before).AmbientC.Single());
    }

    [Fact]
    public void A_survey_is_known_on_both_sides_on_one_or_not()
    {
        double[] tilts = [0.1, 0.1, 0.1, 0.1, 0.1, 0.1];
        Condition both = One(Compare(s_usual, s_usual, Survey(tilts, tilts)), ConditionKind.Survey),
            left = One(Compare(s_usual, s_usual, Survey([], tilts)), ConditionKind.Survey);
        Assert.Equal((true, new TiltsKnown(), new MotorsRead(6)), (both.Matched, both.Why, both.After));
        Assert.Equal((null, new TiltsBeforeUnknown()), (left.Matched, left.Why));
        Assert.Null(left.Before);
    }

    private static Conditions Of(MadeFlights before, MadeFlights after, HoverBasis basis) =>
        new(new FlightSet([before.Build("before", false)], [after.Build("after", true)]), null, new(), basis);

    private static Condition One(Comparison c, ConditionKind kind) => c.Conditions.Single(x => x.Kind == kind);
}
