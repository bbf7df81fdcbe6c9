using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Checks;

/// <summary>Calculation of a change and its interval from the values of flights, against textbook formulas and tabulated critical
/// values.</summary>
public sealed class ComparisonChecks
{
    private static readonly Interval s_any = new(0, 1);

    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2: critical values of Student's t, 0.975.
    [Theory]
    [InlineData(1, 12.706)]
    [InlineData(8, 2.306)]
    [InlineData(10, 2.228)]
    [InlineData(double.PositiveInfinity, 1.960)]
    public void A_change_at_the_critical_value_of_Student_has_a_p_value_of_5_percent(double freedom, double t)
    {
        Change change = new(-0.3 * t, 0.3, 0.1, freedom) { Before = s_any, After = s_any };
        Assert.Equal(0.05, change.PValue, tolerance: 1e-4);
        Assert.Equal(0.3 * t, change.Half95, tolerance: 0.3 * 5e-4);
        Assert.Equal(change.Value, change.ToEstimate().Value);
        Assert.Equal(2 * change.Half95, change.ToEstimate().Ci95!.Value.Width, tolerance: 1e-9);
    }

    // JCGM 100:2008 (GUM) 5.1.2: variances of independent contributions add; the mean of n has 1/n of the variance of one. Within flights:
    // (0.3² + 0.4²)/2² and 0.5²; from flight to flight: 0.6² (1/2 + 1); plus the correction's own. Student's t for 10 degrees of freedom as
    // above.
    [Fact]
    public void The_standard_uncertainty_of_a_change_adds_all_its_sources_in_squares()
    {
        FlightValues values = new([new(1, 0.3), new(2, 0.4)], [new(4, 0.5)], null);
        FlightScatter scatter = new(0.6, 10);
        Change change = Change.Of(values, scatter, correction: -0.4, correctionU: 0.3)!;
        Assert.Equal(4 - 1.5 - 0.4, change.Value, tolerance: 1e-12);
        Assert.Equal(Math.Sqrt(0.0625 + 0.25 + 0.54 + 0.09), change.StandardError, tolerance: 1e-12);
        Assert.Equal(Math.Sqrt(0.0625 + 0.25), change.WithinError, tolerance: 1e-12);
        Assert.Equal(10, change.Freedom);
        AssertAround(1.5, 2.228 * Math.Sqrt(0.0625 + 0.36 / 2), change.Before);
        AssertAround(4, 2.228 * Math.Sqrt(0.25 + 0.36), change.After);

        // Where the uncertainty of the correction is not given, half of the correction is used.
        Assert.Equal(Math.Sqrt(0.0625 + 0.25 + 0.54 + 0.04), Change.Of(values, scatter, correction: -0.4)!.StandardError, tolerance: 1e-12);
        Assert.Null(Change.Of(values with { After = [] }, scatter));
        Assert.Null(Change.Of(values with { Before = [] }, scatter));
    }

    // One-way analysis of variance (NIST e-Handbook 7.4.3): sums of squares 2 of {1, 3} and 14 of {0, 4, 5}, 1 + 2 degrees of freedom; the
    // variance between flights is the mean square minus that within flights. It exceeds the limit from the allowance and the chi-square of
    // 3, so it is used.
    [Fact]
    public void A_clear_scatter_of_flights_is_used_minus_the_variance_within_them()
    {
        FlightValues values = new([new(1, 0.3), new(3, 0.3)], [new(0, 0.5), new(4, 0.5), new(5, 0.5)], null);
        Assert.Equal(16, values.SquaresBetween, tolerance: 1e-12);
        Assert.Equal(3, values.Freedom);
        FlightScatter scatter = FlightScatter.Of(0.4, [values]);
        Assert.Equal(Math.Sqrt(16.0 / 3 - (2 * 0.09 + 3 * 0.25) / 5), scatter.Sigma, tolerance: 1e-12);
        Assert.Equal(8 + 3, scatter.Freedom);
    }

    // The same: the squares of several quantities of one flight are pooled over their degrees of freedom, which count as those of the
    // quantity with most.
    [Fact]
    public void Several_quantities_pool_their_squares_and_count_as_one()
    {
        FlightValues two = new([new(1, 0), new(3, 0)], [new(0, 0), new(4, 0), new(5, 0)], null),
            one = new([new(0, 0), new(6, 0)], [new(1, 0.7)], null);
        FlightScatter scatter = FlightScatter.Of(0.4, [two, one]);
        Assert.Equal(Math.Sqrt((16.0 + 18) / (3 + 1)), scatter.Sigma, tolerance: 1e-12);
        Assert.Equal(8 + 3, scatter.Freedom);
    }

    // Pooled variance (NIST e-Handbook 7.3.1.1): each estimate is weighted by its degrees of freedom, here 8 for the allowance and one for
    // two flights 0.6 apart: 0.18 minus 0.01 within flights.
    [Fact]
    public void A_few_flights_are_pooled_with_the_allowance()
    {
        FlightScatter scatter = FlightScatter.Of(0.4, [new([new(0, 0.1), new(0.6, 0.1)], [new(9, 3)], null)]);
        Assert.Equal(Math.Sqrt((8 * 0.16 + 0.17) / 9), scatter.Sigma, tolerance: 1e-12);
        Assert.Equal(9, scatter.Freedom);

        // Flights that agree better than their own uncertainty have a scatter of zero, not a negative one.
        Assert.Equal(
            Math.Sqrt(8 * 0.16 / 9),
            FlightScatter.Of(0.4, [new([new(0, 1), new(0.1, 1)], [new(9, 3)], null)]).Sigma,
            tolerance: 1e-12
        );
    }

    // NIST e-Handbook 1.3.6.7.4: chi-square of 1 degree of freedom exceeds 6.635 by chance once in 100, of 2 degrees 9.210.
    [Theory]
    [InlineData(1, 6.635)]
    [InlineData(2, 9.210)]
    public void Scatter_is_used_alone_from_the_critical_value_of_chi_square_on(int freedom, double critical)
    {
        double limit = 0.16 * critical / freedom;
        foreach (double share in (double[])[0.998, 1.002])
        {
            // Two flights ±d on one side, or on both, have a mean square of 2 d².
            double d = Math.Sqrt(limit * share / 2);
            FlightValue[] apart = [new(5 - d, 0), new(5 + d, 0)],
                other = freedom == 1 ? [new(1, 0)] : [new(1 - d, 0), new(1 + d, 0)];
            double variance = share > 1 ? limit * share : (8 * 0.16 + freedom * limit * share) / (8 + freedom);
            Assert.Equal(Math.Sqrt(variance), FlightScatter.Of(0.4, [new(apart, other, null)]).Sigma, tolerance: 1e-9);
        }
    }

    [Fact]
    public void Without_several_flights_on_a_side_the_allowance_is_taken_as_known()
    {
        FlightValues single = new([new(1, 0.1)], [new(9, 0.1)], null),
            oneSided = new([new(1, 0.1), new(5, 0.1)], [], null);
        Assert.Equal(new FlightScatter(0.4, double.PositiveInfinity), FlightScatter.Of(0.4, [single, oneSided]));
        Assert.Equal(0, single.VarianceWithin);
    }

    // ISO 80000-3 (levels): a field quantity in dB is 20 times the decadic logarithm of its ratio; the interval is converted to dB too.
    [Fact]
    public void Levels_are_compared_in_decibels()
    {
        FlightValue value = FlightValue.InDb(Estimate.Of(2, new(1.6, 2.5)))!.Value;
        Assert.Equal(6.0206, value.Value, tolerance: 5e-5);
        Assert.Equal(20 * Math.Log10(2.5 / 1.6) / 2 / 1.96, value.U, tolerance: 1e-12);
        Assert.Equal(10, FlightValue.FromDb(20), tolerance: 1e-12);

        // An interval that reaches 0 is limited at a quarter of the level, 12 dB below it.
        Assert.Equal(20 * Math.Log10(3 / 0.5) / 2 / 1.96, FlightValue.InDb(Estimate.Of(2, new(0, 3)))!.Value.U, tolerance: 1e-12);
        Assert.Null(FlightValue.InDb(Estimate.Of(0, s_any)));
        Assert.Null(FlightValue.InDb(Estimate.Unknown(new NotMeasured())));
    }

    // GUM 5.1.2, as above.
    [Fact]
    public void A_further_uncertainty_of_an_amount_adds_in_squares() =>
        Assert.Equal(0.5, FlightValue.Plain(Estimate.Around(7, 1.96 * 0.3), extraU: 0.4)!.Value.U, tolerance: 1e-12);

    [Fact]
    public void A_quantity_that_a_side_lacks_says_which_side_and_why()
    {
        (FlightValue?, Reason?) known = (new FlightValue(1, 0.1), null),
            lacks = (null, new NotMeasured()),
            other = (null, new NoSurvey());
        Assert.Null(FlightValues.Of([known, lacks], [known]).Why);
        Assert.Equal(new KnownOnOneSide(After: true, new NoSurvey()), FlightValues.Of([other, lacks], [lacks, known]).Why);
        Assert.Equal(new KnownOnOneSide(After: false, new NoSurvey()), FlightValues.Of([known], [other]).Why);
        Assert.Equal(new NoSurvey(), FlightValues.Of([(null, null)], [other]).Why);
        Assert.Equal(new NotMeasured(), FlightValues.Of([(null, null)], [(null, null)]).Why);
        Assert.Single(FlightValues.Of([known, lacks], [known]).Before);
    }

    [Theory]
    [InlineData(-2, 0.05, 2, CallKind.Improved)]
    [InlineData(2, 0.05, 2, CallKind.Worse)]
    [InlineData(2, 0.0501, 2, CallKind.NoClearChange)]
    [InlineData(-2, 0.05, 2.01, CallKind.NoClearChange)]
    [InlineData(1.9, 0.01, 1, CallKind.NoClearChange)]
    public void A_change_is_called_where_it_is_significant_among_all_clear_of_zero_and_above_the_threshold(
        double value,
        double adjustedP,
        double matters,
        CallKind expected
    )
    {
        // The half width is 1.96.
        Change change = new(value, 1, 0, double.PositiveInfinity) { Before = s_any, After = s_any };
        Assert.Equal(expected, Calls.Kind(change, adjustedP, 0.05, matters));
        Assert.Equal(CallKind.Unknown, Calls.Kind(null, 0, 0.05, matters));
    }

    [Theory]
    [InlineData(-5, CallKind.Improved, Significance.Clear)]
    [InlineData(5, CallKind.Worse, Significance.Clear)]
    [InlineData(-1.5, CallKind.NoClearChange, Significance.NotSignificant)]
    [InlineData(-2.5, CallKind.NoClearChange, Significance.TooSmall)]
    [InlineData(3.5, CallKind.NoClearChange, Significance.NotClearAmongAll)]
    public void A_missing_call_has_its_reason(double value, CallKind kind, Significance how)
    {
        FlightValues values = new([new(20, 0)], [new(20 + value, 0)], null);
        Change change = Change.Of(values, new(1 / Math.Sqrt(2), double.PositiveInfinity))!;
        Call call = Calls.Of(values, change, kind, CallUnit.Db, null, matters: 3);
        Assert.Equal(kind, call.Kind);
        var judged = Assert.IsType<ChangeJudged>(call.Why);
        Assert.Equal((value, how, 3, true), (Math.Round(judged.Change, 9), judged.Significance, judged.Matters, judged.InDb));

        // 20 dB is a ratio of 10. The interval of each side: 1.96/√2 dB.
        Assert.Equal((10.0, "m/s²", "dB"), (Math.Round(call.Before!.Value, 9), call.Unit, call.ChangeUnit));
        Assert.Equal(Math.Pow(10, (20 + value) / 20), call.After!.Value, tolerance: 1e-9);
        Assert.Equal(10 * Math.Pow(10, 1.96 / Math.Sqrt(2) / 20), call.BeforeCi95!.Value.High, tolerance: 1e-4);
        Assert.Equal(call.After.Value * Math.Pow(10, -1.96 / Math.Sqrt(2) / 20), call.AfterCi95!.Value.Low, tolerance: 1e-4);
        Assert.Equal(1.96, call.SmallestShown!.Value, tolerance: 1e-4);
    }

    [Fact]
    public void A_call_that_cannot_be_made_keeps_both_sides_and_has_its_reason()
    {
        FlightValues values = new([new(20, 0)], [new(23, 0)], null);
        Change change = Change.Of(values, new(0.5, 9))!;
        Call call = Calls.Of(values, change, CallKind.Worse, CallUnit.C, new NoSurvey(), matters: 2);
        Assert.Equal((CallKind.Unknown, new NoSurvey(), (double?)null), (call.Kind, call.Why, call.SmallestShown));
        Assert.Equal((20.0, 23.0, "°C", "°C"), (call.Before!.Value, call.After!.Value, call.Unit, call.ChangeUnit));
        Assert.Equal(new NoSurvey(), call.Change.Why);
        AssertAround(20, change.Before.Width / 2, call.BeforeCi95!.Value);

        Call half = Calls.Of(new([], [new(23, 0)], new NotMeasured()), null, CallKind.NoClearChange, CallUnit.C, null, matters: 2);
        Assert.Equal((CallKind.Unknown, null, 23.0, new NotMeasured()), (half.Kind, half.Before, half.After!.Value, half.Why));
        Assert.False(half.Change.IsKnown);
    }

    // A change of 8 °C, separated into the effect of the load and the change that remains at equal load.
    [Theory]
    [InlineData(-8, -8, 1, RiseCause.Unit)]
    [InlineData(-8, -6.1, 1, RiseCause.Unit)]
    [InlineData(-8, -6, 1, RiseCause.Both)]
    [InlineData(-8, -2, 1, RiseCause.Both)]
    [InlineData(8, 2, 1, RiseCause.Both)]
    [InlineData(-8, -0.5, 1, RiseCause.Load)]
    [InlineData(-8, 0.5, 1, RiseCause.Load)]
    [InlineData(8, 0.5, 1, RiseCause.Load)]
    [InlineData(-8, -1.9, 1, RiseCause.Undetermined)]
    [InlineData(-8, 3, 1, RiseCause.Undetermined)]
    [InlineData(-8, -9, 10, RiseCause.Undetermined)]
    public void The_cause_of_a_change_of_rise_follows_from_the_change_at_equal_load(
        double all,
        double own,
        double half,
        RiseCause expected
    ) =>
        Assert.Equal(
            expected,
            RiseCauses.Of(all < 0 ? CallKind.Improved : CallKind.Worse, Estimate.Around(all, 1), Estimate.Around(own, half), mattersC: 2)
        );

    [Fact]
    public void The_cause_of_a_rise_is_asked_only_where_its_change_is_called_and_its_load_known()
    {
        Estimate change = Estimate.Around(-8, 1);
        Assert.Equal(RiseCause.NotAsked, RiseCauses.Of(CallKind.NoClearChange, change, change, mattersC: 2));
        Assert.Equal(RiseCause.NotAsked, RiseCauses.Of(CallKind.Unknown, change, change, mattersC: 2));
        Assert.Equal(RiseCause.NotAsked, RiseCauses.Of(CallKind.Improved, Estimate.Unknown(new NotMeasured()), change, mattersC: 2));
        Assert.Equal(RiseCause.NotAsked, RiseCauses.Of(CallKind.Improved, change, Estimate.Unknown(new NotMeasured()), mattersC: 2));
    }

    private static void AssertAround(double middle, double half, Interval actual)
    {
        Assert.Equal(middle, (actual.Low + actual.High) / 2, tolerance: 1e-9);
        Assert.Equal(half, actual.Width / 2, tolerance: half * 2e-4);
    }
}
