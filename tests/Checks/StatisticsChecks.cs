using MathNet.Numerics.Distributions;
using MathNet.Numerics.LinearRegression;
using MathNet.Numerics.Statistics;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Checks;

/// <summary>Statistics compared with published examples and certified data.</summary>
public class StatisticsChecks
{
    // Benjamini and Hochberg, J. R. Statist. Soc. B 57 (1995), section 4: the fifteen p values of their example.
    private static readonly double[] Example =
    [
        .0001,
        .0004,
        .0019,
        .0095,
        .0201,
        .0278,
        .0298,
        .0344,
        .0459,
        .3240,
        .4262,
        .5719,
        .6528,
        .7590,
        1.000,
    ];

    // Same source: four rejected at q = .05; adjusted values by the definition.
    [Fact]
    public void Benjamini_Hochberg_example_rejects_four_and_has_the_adjusted_values()
    {
        double[] adjusted = MultipleTests.BenjaminiHochberg(Example);
        Assert.Equal(4, adjusted.Count(p => p <= 0.05));
        double[] expected = [.0015, .003, .0095, .035625, .0603, .06386, .06386, .0645, .0765, .486];
        for (int i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i], adjusted[i], tolerance: 5e-6);
        }
    }

    // Same data: Bonferroni rejects three in the paper, Holm the same three; adjusted values by Holm's definition (1979).
    [Fact]
    public void Holm_on_the_same_example_rejects_three()
    {
        double[] adjusted = MultipleTests.Holm(Example);
        Assert.Equal(3, adjusted.Count(p => p <= 0.05));
        double[] expected = [.0015, .0056, .0247, .114];
        for (int i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i], adjusted[i], tolerance: 5e-5);
        }
    }

    // R package HDLSSkST 2.1.0, manual, functions Holm and BenHoch: adjusted values and decisions in the given order.
    [Fact]
    public void Holm_and_Benjamini_Hochberg_keep_the_order_of_the_tests()
    {
        double[] p = [.50, .01, .001, .69, .02, .05, .0025];
        double[] holm = MultipleTests.Holm(p),
            expected = [1, .05, .007, 1, .08, .15, .015];
        for (int i = 0; i < p.Length; i++)
        {
            Assert.Equal(expected[i], holm[i], tolerance: 1e-12);
        }

        Assert.Equal([false, true, true, false, true, false, true], MultipleTests.BenjaminiHochberg(p).Select(q => q <= 0.05));
    }

    // S. Holm, Scand. J. Statist. 6 (1979): by the definition, first and last rejected.
    [Fact]
    public void Holm_never_falls_along_the_sorted_tests()
    {
        double[] expected = [.03, .06, .06, .02],
            adjusted = MultipleTests.Holm([.01, .04, .03, .005]);
        for (int i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i], adjusted[i], tolerance: 1e-12);
        }
    }

    // F. J. Anscombe, The American Statistician 27 (1973): four sets with one correlation and one line.
    [Theory]
    [InlineData(
        new double[] { 10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5 },
        new double[] { 8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68 },
        .8164
    )]
    [InlineData(
        new double[] { 10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5 },
        new double[] { 9.14, 8.14, 8.74, 8.77, 9.26, 8.10, 6.13, 3.10, 9.13, 7.26, 4.74 },
        .8162
    )]
    [InlineData(
        new double[] { 10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5 },
        new double[] { 7.46, 6.77, 12.74, 7.11, 7.81, 8.84, 6.08, 5.39, 8.15, 6.42, 5.73 },
        .8163
    )]
    [InlineData(
        new double[] { 8, 8, 8, 8, 8, 8, 8, 19, 8, 8, 8 },
        new double[] { 6.58, 5.76, 7.71, 8.84, 8.47, 7.04, 5.25, 12.50, 5.56, 7.91, 6.89 },
        .8165
    )]
    public void Anscombe_sets_share_correlation_and_line(double[] x, double[] y, double r)
    {
        Assert.Equal(r, Correlation.Pearson(x, y), tolerance: 5e-5);
        (double intercept, double slope) = SimpleRegression.Fit(x, y);
        Assert.Equal(0.500, slope, tolerance: 5e-4);
        Assert.Equal(3.00, intercept, tolerance: 5e-3);
    }

    // Anscombe's third set: one outlier moves least squares to .4997; the median of slopes stays at .345556 (scipy theilslopes).
    [Fact]
    public void Theil_Sen_ignores_the_outlier_of_Anscombe_set_3()
    {
        TheilSen fit = TheilSen.Fit(
            [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5],
            [7.46, 6.77, 12.74, 7.11, 7.81, 8.84, 6.08, 5.39, 8.15, 6.42, 5.73]
        )!;
        Assert.Equal(0.345556, fit.Slope, tolerance: 5e-7);
        Assert.Equal(4.0, fit.Intercept, tolerance: 5e-3);
    }

    // P. K. Sen, J. Am. Statist. Assoc. 63 (1968), example: slope 4, 93 % interval 26/7 to 35/8, intercept 4 as median(y) - 4·median(t).
    [Fact]
    public void Theil_Sen_has_the_interval_of_Sens_example()
    {
        TheilSen fit = TheilSen.Fit([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78], 0.93)!;
        Assert.Equal(4, fit.Slope, tolerance: 1e-12);
        Assert.Equal(26.0 / 7, fit.SlopeInterval.Low, tolerance: 1e-12);
        Assert.Equal(35.0 / 8, fit.SlopeInterval.High, tolerance: 1e-12);
        Assert.Equal(4, fit.Intercept, tolerance: 1e-12);
    }

    // tools/reference-values/statistics.py: scipy 1.10 theilslopes and kendalltau (exact) on eight points.
    [Fact]
    public void Eight_points_agree_with_scipy()
    {
        double[] x = [0.41, 0.02, 0.52, 0.04, 0.30, 0.05, 0.17, 0.33],
            y = [7.8, 0.4, 7.5, 0.2, 6.3, -0.2, 2.9, 5.1];
        TheilSen fit = TheilSen.Fit(x, y)!;
        Assert.Equal(16.52482269503546, fit.Slope, tolerance: 1e-9);
        Assert.Equal(5.454545454545455, fit.SlopeInterval.Low, tolerance: 1e-9);
        Assert.Equal(22.22222222222222, fit.SlopeInterval.High, tolerance: 1e-9);
        (double tau, double p) = RankCorrelation.Kendall(x, y);
        Assert.Equal(0.6428571428571428, tau, tolerance: 1e-12);
        Assert.Equal(0.03115079365079365, p, tolerance: 1e-12);
    }

    // scipy 1.10, scipy.stats.theilslopes(y, x, 0.95) on abscissas and values that occur several times: ties of both reduce the variance of
    // Kendall's sum, and with it the width of the interval.
    [Fact]
    public void Ties_of_places_and_of_values_narrow_the_interval_as_in_scipy()
    {
        TheilSen fit = TheilSen.Fit([1, 1, 1, 1, 2, 3, 3, 3, 4, 4, 5], [1.2, 2.2, 1.7, 1.7, 2.9, 2.6, 2.6, 3.1, 2.8, 3.8, 4.5])!;
        Assert.Equal(0.6999999999999997, fit.Slope, tolerance: 1e-12);
        Assert.Equal(0.5000000000000009, fit.Intercept, tolerance: 1e-12);
        Assert.Equal(0.36666666666666664, fit.SlopeInterval.Low, tolerance: 1e-12);
        Assert.Equal(0.825, fit.SlopeInterval.High, tolerance: 1e-12);
    }

    // M. Hollander, D. Wolfe, Nonparametric Statistical Methods (1973) 185 ff.: 26 of 36 pairs concordant, exact p .1194.
    [Fact]
    public void Kendall_example_has_its_exact_p_value()
    {
        (double tau, double p) = RankCorrelation.Kendall(
            [44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1],
            [2.6, 3.1, 2.5, 5.0, 3.6, 4.0, 5.2, 2.8, 3.8]
        );
        Assert.Equal(0.4444, tau, tolerance: 5e-5);
        Assert.Equal(0.1194, p, tolerance: 5e-5);
    }

    // Zwiers and von Storch, J. Climate 8 (1995), as worked in the NCAR NCL manual, equiv_sample_size.
    [Theory]
    [InlineData(100, .5, 33.33)]
    [InlineData(100, .5352, 30.28)]
    [InlineData(50, .938, 1.60)]
    public void Effective_size_of_a_long_run(int n, double r, double expected) =>
        Assert.Equal(expected, n / EffectiveSize.InflationOfFirstOrder(r), tolerance: 5e-3);

    // Elementary: n / (1 + 2 Σ (1 - k/n) r^k), computed with numpy 1.24.
    [Theory]
    [InlineData(100, .5, 33.784)]
    [InlineData(50, .9, 3.2428)]
    public void Effective_size_of_a_first_order_run(int n, double r, double expected) =>
        Assert.Equal(expected, n / EffectiveSize.Inflation(n, Enumerable.Range(1, n - 1).Select(k => Math.Pow(r, k))), tolerance: 5e-4);

    // NIST StRD, univariate summary statistics: certified means and lag-1 autocorrelations of Mavro, Michelso and Lew.
    [Theory]
    [InlineData("Mavro.dat", 50, 2.00185600000000, 0.937989183438248)]
    [InlineData("Michelso.dat", 100, 299.852400000000, 0.535199668621283)]
    [InlineData("Lew.dat", 200, -177.435000000000, -0.307304800605679)]
    public void Mean_and_lag_one_autocorrelation_are_the_certified_ones(string file, int count, double mean, double certified)
    {
        double[] run = Strd.Column(file),
            departures = Array.ConvertAll(run, v => v - mean);
        Assert.Equal(count, run.Length);
        Assert.Equal(mean, DependentMean.Of(run).Mean, tolerance: 1e-12 * Math.Abs(mean));
        Assert.Equal(certified, EffectiveSize.Autocorrelation(departures, departures.Sum(d => d * d), 1), tolerance: 1e-9);
    }

    // NIST StRD, Lew: certified standard deviation 277.332168044316 of 200 values. Neighbours are negatively correlated (lag one -0.31),
    // which must never count as more information than 200 independent values: the interval is that of GUM 4.2.3, s/√n, by Student with
    // 199 degrees of freedom (scipy 1.10: 1.9719565).
    [Fact]
    public void Opposed_neighbours_make_no_interval_narrower_than_independent_ones()
    {
        DependentMean lew = DependentMean.Of(Strd.Column("Lew.dat"));
        Assert.Equal(200, lew.EffectiveCount);
        Assert.Equal(277.332168044316 / Math.Sqrt(200), lew.StandardError, tolerance: 1e-9);
        Assert.Equal(1.9719565 * 277.332168044316 / Math.Sqrt(200), lew.Half95!.Value, tolerance: 1e-5);
    }

    // NIST StRD, Michelso: certified standard deviation 0.0790105478190518; by its certified lag one the effective sample size of its 100
    // values is 30.28 (NCAR NCL manual, as above). Longer lags are estimated from the series itself and not from a first-order model, so
    // the two may differ by a fifth.
    [Fact]
    public void The_standard_error_of_the_speed_of_light_is_near_its_published_effective_size()
    {
        double published = 0.0790105478190518 / Math.Sqrt(30.28);
        Assert.Equal(published, DependentMean.Of(Strd.Column("Michelso.dat")).StandardError, tolerance: 0.2 * published);
    }

    // NIST StRD, Mavro: certified standard deviation 0.000429123454003053; the effective sample size of its 50 values is 1.60, as above. So
    // few independent values do not show the full drift: with Student's distribution the interval must be no narrower than 1.96 s/√1.60.
    [Fact]
    public void The_interval_of_a_drifting_series_is_no_narrower_than_its_published_effective_size_gives() =>
        Assert.InRange(DependentMean.Of(Strd.Column("Mavro.dat")).Half95!.Value, 1.96 * 0.000429123454003053 / Math.Sqrt(1.60), 0.0015);

    // Theory, as above: for a first-order series with r = .5 and n = 400 the variance of the mean is 400/133.78 = 2.99 times that of
    // independent values. The mean of the squared standard errors of 400 series must agree with it: they scatter by some 30 %, their mean
    // by 1.5 %.
    [Fact]
    public void The_standard_error_of_a_dependent_run_is_that_of_theory()
    {
        const int Runs = 400,
            Count = 400;
        double spread = 1 / (1 - 0.5 * 0.5);
        double ratio = Enumerable
            .Range(0, Runs)
            .Average(seed => Count * Math.Pow(DependentMean.Of(FirstOrderRun(Count, 0.5, seed)).StandardError, 2) / spread);
        Assert.Equal(2.99, ratio, tolerance: 0.2);
    }

    // Any table of Student's t, such as GUM table G.2 (2.7764, 2.2622, 2.0930); the others from scipy 1.10,
    // tools/reference-values/statistics.py.
    [Theory]
    [InlineData(1, 12.706204736432095)]
    [InlineData(3.5, 2.9400886379827775)]
    [InlineData(4, 2.7764)]
    [InlineData(9, 2.2622)]
    [InlineData(19, 2.0930)]
    [InlineData(1000, 1.9623390808264074)]
    public void Student_t_quantiles(double freedom, double expected) =>
        Assert.Equal(expected, StudentT.InvCDF(0, 1, freedom, 0.975), tolerance: 5e-5);

    private static double[] FirstOrderRun(int count, double keep, int seed)
    {
        var random = new Random(seed);
        double[] run = new double[count];
        double at = Normal.Sample(random, 0, 1 / Math.Sqrt(1 - keep * keep));
        for (int i = 0; i < count; i++)
        {
            run[i] = at;
            at = keep * at + Normal.Sample(random, 0, 1);
        }

        return run;
    }
}
