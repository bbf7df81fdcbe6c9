using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Checks;

/// <summary>Uncertainty: JCGM 100:2008 (GUM) and handbook values; the resolution of the gauge; reversal.</summary>
public sealed class UncertaintyChecks
{
    private static UncertaintyPart Part(double u, double c, double freedom) => new("part", u, c, freedom);

    // GUM F.2.2.1: the resolution δ of a digital display counts as δ/√12 = 0.29 δ.
    [Fact]
    public void A_display_step_counts_as_a_twelfth_root() => Assert.Equal(0.28868, GaugeQuality.StepLeft(1, 0), 1e-5);

    // GUM 4.3.7: half width a, rectangular: a/√3. Example 1: 16.40 to 16.92 gives 0.15.
    [Theory]
    [InlineData(1, 0.57735, 1e-5)]
    [InlineData((16.92 - 16.40) / 2, 0.15, 5e-3)]
    public void Bounds_count_as_rectangular(double half, double expected, double within) =>
        Assert.Equal(expected, UncertaintyBudget.Rectangular(half), within);

    // GUM 4.3.7 example 2 and 5.1.5: a = 15 µV gives 8.7 µV; with 12 µV of repeats 15 µV (14.8).
    [Fact]
    public void Root_of_the_summed_squares_joins_the_voltmeter_example()
    {
        double u = UncertaintyBudget.Rectangular(14e-6 * 0.928571e6 + 2e-6 * 1e6);
        Assert.Equal(8.7, u, 0.05);
        Assert.Equal(
            14.8,
            new UncertaintyBudget([Part(u, 1, double.PositiveInfinity), Part(12, 1, double.PositiveInfinity)]).Combined,
            0.05
        );
    }

    // GUM G.4.1: u 0.25, 0.57, 0.82 %; ν 9, 4, 14: u_c 1.03 %, ν_eff 19.0, t95 2.09, U95 2.2 %.
    [Fact]
    public void Welch_Satterthwaite_of_three_relative_parts()
    {
        var budget = new UncertaintyBudget([Part(0.25, 1, 9), Part(0.57, 1, 4), Part(0.82, 1, 14)]);
        Assert.Equal(1.03, budget.Combined, 5e-3);
        Assert.Equal(19.0, budget.EffectiveFreedom, 0.05);
        Assert.Equal(2.09, budget.Factor95, 5e-3);
        Assert.Equal(2.2, budget.Expanded95, 0.05);
    }

    // GUM H.1: u 5.8, 3.9, 6.7 nm; ν 24, 5, 8: 9.7 nm, ν_eff 25.6 printed from rounded parts, 25.45 unrounded.
    [Fact]
    public void Welch_Satterthwaite_of_the_end_gauge_comparator()
    {
        var budget = new UncertaintyBudget([Part(5.8, 1, 24), Part(3.9, 1, 5), Part(6.7, 1, 8)]);
        Assert.Equal(9.7, budget.Combined, 0.05);
        Assert.Equal(25.45, budget.EffectiveFreedom, 5e-3);
    }

    // GUM H.1: u 25, 9.7, 2.9, 16.6 nm; ν 18, 25.6, 50, 2: u_c 32 nm (31.67), ν_eff 16.8.
    [Fact]
    public void Welch_Satterthwaite_of_the_end_gauge()
    {
        var budget = new UncertaintyBudget([Part(25, 1, 18), Part(9.7, 1, 25.6), Part(2.9, 1, 50), Part(16.6, 1, 2)]);
        Assert.Equal(31.67, budget.Combined, 5e-3);
        Assert.Equal(16.8, budget.EffectiveFreedom, 0.05);
    }

    // GUM H.1: L 50 000 623 nm × 11.5e-6 × u(δθ) with δθ within ±0.05 °C: 16.6 nm; L × 0.1 × u(δα) with δα within ±1e-6: 2.9 nm.
    [Theory]
    [InlineData(50_000_623 * 11.5e-6, 0.05, 16.6)]
    [InlineData(50_000_623 * 0.1, 1e-6, 2.9)]
    public void A_part_counts_by_its_sensitivity(double sensitivity, double half, double expectedNm) =>
        Assert.Equal(expectedNm, Part(UncertaintyBudget.Rectangular(half), sensitivity, double.PositiveInfinity).Contribution, 0.05);

    // R package metRology, manual, w.s: u .1 .3 .2 1.1; c 1 2 3 .5; ν ∞ 6 8 3: u_c 1.01612, ν_eff 15.608.
    [Fact]
    public void Welch_Satterthwaite_with_sensitivities()
    {
        var budget = new UncertaintyBudget([Part(0.1, 1, double.PositiveInfinity), Part(0.3, 2, 6), Part(0.2, 3, 8), Part(1.1, 0.5, 3)]);
        Assert.Equal(1.01612, budget.Combined, 5e-6);
        Assert.Equal(15.608, budget.EffectiveFreedom, 5e-4);
    }

    // GUM 5.2.2, example (from memory): ten resistors of 1000 Ω, each compared with one standard of u = 0.1 Ω, in series: u_c = 1 Ω, not
    // the 0.32 Ω of ten independent errors.
    [Fact]
    public void An_error_that_all_terms_share_adds_up_before_it_is_squared()
    {
        UncertaintyBudget own = new([Part(0.1, 1, double.PositiveInfinity)]),
            shared = new([own.Parts[0] with { SharedError = "the standard" }]);
        Assert.Equal(1, UncertaintyBudget.OfSum(Enumerable.Repeat((1.0, shared), 10)).Combined, 1e-12);
        Assert.Equal(0.32, UncertaintyBudget.OfSum(Enumerable.Repeat((1.0, own), 10)).Combined, 5e-3);
    }

    // GUM H.2.4, second approach (quantities read together are combined set by set, so that the scatter includes their correlation): R = V
    // cos φ/I 127.732 ± 0.071, X = V sin φ/I 219.847 ± 0.295, Z = V/I 254.260 ± 0.236 Ω. The means of ratios of one flight (load shares,
    // split) are calculated in the same way.
    [Theory]
    [InlineData(1, 0, 127.732, 0.071)]
    [InlineData(0, 1, 219.847, 0.295)]
    [InlineData(1, 1, 254.260, 0.236)]
    public void Sets_read_together_carry_their_correlation_into_the_mean(int cosine, int sine, double ohm, double u)
    {
        double[] volt = [5.007, 4.994, 5.005, 4.990, 4.999],
            ampere = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
            phase = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
        DependentMean mean = DependentMean.Of([
            .. volt.Select((v, i) => v / ampere[i] * double.Hypot(cosine * Math.Cos(phase[i]), sine * Math.Sin(phase[i]))),
        ]);
        Assert.Equal(ohm, mean.Mean, 1e-3);
        Assert.Equal(u, mean.StandardError, 1e-3);
    }

    // GUM H.3, the thermometer's corrections: least squares give slope 0.00218 ± 0.00067 and -0.1494 ± 0.0041 at 30 °C. The product has no
    // least-squares line with covariance; its only line with an interval (tilt effect) is the median of slopes, which must agree within
    // those uncertainties. scipy.stats.theilslopes(b, t - 20) of scipy 1.10: slope 0.002010050251256281.
    [Fact]
    public void The_median_slope_agrees_with_the_thermometer_line()
    {
        double[] t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511];
        double[] b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160];
        TheilSen line = TheilSen.Fit([.. t.Select(x => x - 20)], b)!;
        Assert.Equal(0.002010050251256281, line.Slope, 1e-9);
        Assert.Equal(0.00218, line.Slope, 0.00067);
        Assert.True(line.SlopeInterval.Contains(0.00218));
        Assert.Equal(-0.1494, line.Intercept + 10 * line.Slope, 0.0041);
    }

    // Any table of Student's t, 97.5 %, such as GUM table G.2.
    [Theory]
    [InlineData(4, 2.7764)]
    [InlineData(9, 2.2622)]
    [InlineData(19, 2.0930)]
    [InlineData(double.PositiveInfinity, 1.9600)]
    public void The_factor_for_95_percent_is_Students_t(double freedom, double expected) =>
        Assert.Equal(expected, UncertaintyBudget.Factor95For(freedom), 5e-5);

    // Follows from GUM F.2.2.1: a gauge with a resolution of 0.1°, tilt as the difference of two single readings: u = 0.0408°.
    [Fact]
    public void Two_single_readings_of_a_tenth_degree_gauge()
    {
        // A repeatability of 0 leaves only the resolution of the display, as the reference value assumes.
        Survey survey = TiltCombination.Of(
            One with
            {
                Gauge = new(null, null, 0),
            },
            [Reading(GaugePlace.Frame, 0.1, LowSide.Left), Reading(GaugePlace.Mount, 0.3, LowSide.Right)]
        );
        Assert.Equal(0.0408, survey.AsFound[0].AcrossBudget!.Combined, 5e-5);
    }

    // Engineers Level Calibration Instructions (bubble as the viewer sees it, left positive): 4 left then 3 right: level 3.5, surface 0.5;
    // continuing from there, 3 left then 1 left: level 1, surface 2. The bubble moves to the high side; here the low side is entered, so
    // every sign is inverted, and the second reading is of the turned gauge as the viewer sees it.
    [Theory]
    [InlineData(4, LowSide.Right, 3, LowSide.Left, 3.5, 0.5)]
    [InlineData(3, LowSide.Right, 1, LowSide.Right, 1, 2)]
    public void Reversal_separates_the_level_from_the_surface(
        double first,
        LowSide firstLow,
        double second,
        LowSide secondLow,
        double level,
        double surface
    )
    {
        Survey survey = TiltCombination.Of(
            One,
            [
                Reading(GaugePlace.Frame, 0, LowSide.Level),
                Reading(GaugePlace.Frame, 0, LowSide.Level) with
                {
                    Turned = true,
                },
                Reading(GaugePlace.Mount, first, firstLow),
                Reading(GaugePlace.Mount, second, secondLow) with
                {
                    Turned = true,
                },
            ]
        );
        Assert.Equal(surface, survey.AsFound[0].AcrossDeg.Value!.Value, 1e-12);

        // Two places were read both ways, frame 0 and mount: the displayed zero error is their mean.
        Assert.Equal(level / 2, survey.Gauge!.ZeroErrorDeg.Value!.Value, 1e-12);
    }

    // numpy/scipy integration, tools/reference-values/gauge_steps.py: the error that averaging leaves of a step of 1, and the scatter that
    // the display shows.
    [Theory]
    [InlineData(0.1, 0.192131, 0.237527)]
    [InlineData(0.2, 0.102307, 0.335956)]
    [InlineData(0.3, 0.038089, 0.414587)]
    [InlineData(0.5, 0.001619, 0.577348)]
    public void Scatter_over_the_steps_lets_averaging_help(double scatter, double left, double shown)
    {
        Assert.Equal(left, GaugeQuality.StepLeft(1, scatter), 2e-6);
        Assert.Equal(scatter, GaugeQuality.PlacementScatter(1, shown), 2e-5);
    }

    private static Airframe One { get; } = new() { Name = "one", Motors = [new("M1", 0, 0.4, Spin.Clockwise, MotorLevel.Single, 2, null)] };

    private static GaugeReading Reading(GaugePlace where, double deg, LowSide low) =>
        new()
        {
            MotorId = "M1",
            When = SurveyTime.AsFound,
            Where = where,
            Direction = TiltDirection.Across,
            LowDeg = deg,
            HighDeg = deg,
            LowSide = low,
        };
}
