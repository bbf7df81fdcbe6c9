using MathNet.Numerics.LinearRegression;
using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Checks;

/// <summary>Fits held against certified data: section "Fits" of the check values.</summary>
public class FitChecks
{
    // NIST StRD, nonlinear regression, Misra1a (lower difficulty). Certified values and data.
    [Fact]
    public void Rise_of_Misra1a_has_the_certified_values()
    {
        double[] y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78];
        double[] x = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0];
        ExponentialRise fit = ExponentialRise.Fit(x, y);
        AssertRelative(2.3894212918E+02, fit.Amplitude, 1e-6);
        AssertRelative(5.5015643181E-04, fit.Rate, 1e-6);
        AssertRelative(2.7070075241E+00, fit.AmplitudeU, 1e-6);
        AssertRelative(7.2668688436E-06, fit.RateU, 1e-6);
        AssertRelative(1.2455138894E-01, fit.ResidualSquares, 1e-6);
        Assert.Equal(12, fit.DegreesOfFreedom);
    }

    // NIST StRD, nonlinear regression, BoxBOD (higher difficulty). A plain Levenberg-Marquardt search from the first start, (1, 1), ends at
    // residual squares of 9771.5 (scipy curve_fit 1.10): the fit must not.
    [Fact]
    public void Rise_of_BoxBOD_has_the_certified_values_where_a_search_by_slope_runs_away()
    {
        ExponentialRise fit = ExponentialRise.Fit([1, 2, 3, 5, 7, 10], [109, 149, 149, 191, 213, 224]);
        AssertRelative(2.1380940889E+02, fit.Amplitude, 1e-6);
        AssertRelative(5.4723748542E-01, fit.Rate, 1e-6);
        AssertRelative(1.2354515176E+01, fit.AmplitudeU, 1e-6);
        AssertRelative(1.0455993237E-01, fit.RateU, 1e-6);
        AssertRelative(1.1680088766E+03, fit.ResidualSquares, 1e-6);
        Assert.Equal(4, fit.DegreesOfFreedom);
    }

    // NIST StRD, linear regression, Norris: certified coefficients. The library's line is MathNet's.
    [Fact]
    public void Line_of_Norris_has_the_certified_coefficients()
    {
        double[] lines = Strd.Read("Norris.dat", 61, 96);
        double[] y = [.. lines.Where((_, i) => i % 2 == 0)], x = [.. lines.Where((_, i) => i % 2 == 1)];
        (double b0, double b1) = SimpleRegression.Fit(x, y);
        AssertRelative(-0.262323073774029, b0, 1e-9);
        AssertRelative(1.00211681802045, b1, 1e-12);
    }

    // Fuchs and Masoum, Power Quality in Power Systems and Electrical Machines, eq. 6-39: τ 3 h, ambient 40, final 120 °C; 95 % of the
    // final temperature after 2.59 τ = 7.77 h. Here the rise is sampled up to that time and fitted.
    [Fact]
    public void Motor_heating_example_gives_its_time_constant_and_final_rise()
    {
        double[] hours = [.. Enumerable.Range(1, 40).Select(i => 7.77 * i / 40)];
        ExponentialRise fit = ExponentialRise.Fit(hours, Array.ConvertAll(hours, h => 80 * (1 - Math.Exp(-h / 3))));
        Assert.Equal(80, fit.Amplitude, tolerance: 1e-6);
        Assert.Equal(3, 1 / fit.Rate, tolerance: 1e-6);
        Assert.Equal(0.95 * 120, 40 + fit.Amplitude * (1 - Math.Exp(-7.77 * fit.Rate)), tolerance: 0.05);
    }

    private static void AssertRelative(double expected, double actual, double relative) =>
        Assert.Equal(expected, actual, tolerance: relative * Math.Abs(expected));
}
