using MathNet.Numerics.LinearAlgebra;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Parts of the heating fit against independent solutions of their equations.</summary>
public sealed class HeatingChecks
{
    private const double Exact = 1e-12;

    // scipy 1.10.1, integrate.solve_ivp (rtol 1e-12) of 10 s dy/dt = load - y with the load constant in cells of 2 s: y at the middle of
    // each, and its slope there, which is the reduction by a lag of one second.
    [Fact]
    public void A_body_responds_to_its_load_as_the_equation_of_first_order_heating_says()
    {
        HeatingCurves curves = HeatingCurves.Of(Cells(2, [0, 1, 1, 0.5, 2]), tauS: 10);
        AssertEach([0, 0.09516258196405811, 0.25918177931833286, 0.3458880493053809, 0.5165676794955871], curves.Heat, tolerance: 1e-10);
        AssertEach([0, 0.09048374180359418, 0.07408182206816671, 0.015411195069461908, 0.14834323205044128], curves.Lag, tolerance: 1e-10);

        // Newton's law of cooling, with initial value 1.
        AssertEach([.. ((double[])[1, 3, 5, 7, 9]).Select(t => Math.Exp(-t / 10))], curves.Start, Exact);
    }

    // scipy 1.10.1, linalg.solve and linalg.inv of [[5, 2, 1], [2, 4, 0.5], [1, 0.5, 3 + 0.7]], right side [3, 1, 2]; 10 is the sum of
    // squares of the readings. The ridge term acts as a further observation, so the residual sum of squares is the minimum of the whole
    // minus the ridge's contribution.
    [Fact]
    public void The_normal_equations_are_solved_as_by_a_linear_solver()
    {
        TauFit fit = new HeatingEquations(5, 2, 1, 4, 0.5, 3).Solve(new HeatingSums(3, 1, 2, 10), ridge: 0.7);
        Assert.Equal(0.5495978552278821, fit.RiseC, tolerance: Exact);
        Assert.Equal(-0.07506702412868634, fit.StartC, tolerance: Exact);
        Assert.Equal(0.40214477211796246, fit.LagTimesRise, tolerance: Exact);
        Assert.Equal(0.26005361930294907, fit.RiseVarianceFactor, tolerance: Exact);
        Assert.Equal(7.5087796217898495, fit.SquaresC2, tolerance: 1e-11);
    }

    [Fact]
    public void Sums_of_products_leave_cells_without_a_reading_out()
    {
        HeatingCells cells = new(0, 2, [1, 1, 1], [1, 2, 4], [true, false, true]);
        HeatingCurves curves = HeatingCurves.Of(cells, tauS: 10);
        HeatingSums sums = HeatingSums.Of(curves, cells.RisesC);
        Assert.Equal(17, sums.Squares, tolerance: Exact);
        Assert.Equal(curves.Heat[0] + 4 * curves.Heat[2], sums.Heat, tolerance: Exact);
        Assert.Equal(curves.Start[0] + 4 * curves.Start[2], sums.Start, tolerance: Exact);
        Assert.Equal(curves.Lag[0] + 4 * curves.Lag[2], sums.Lag, tolerance: Exact);
        var equations = HeatingEquations.Of(curves);
        double Of(double[] a, double[] b) => a[0] * b[0] + a[2] * b[2];
        AssertEach(
            [
                Of(curves.Heat, curves.Heat),
                Of(curves.Heat, curves.Start),
                Of(curves.Heat, curves.Lag),
                Of(curves.Start, curves.Start),
                Of(curves.Start, curves.Lag),
                Of(curves.Lag, curves.Lag),
            ],
            [equations.Hh, equations.Hs, equations.Hl, equations.Ss, equations.Sl, equations.Ll],
            Exact
        );
    }

    // Noise-free readings of one body, with a time constant off the grid (steps of some 10 %): a parabola through three points.
    [Theory]
    [InlineData(20)]
    [InlineData(71)]
    [InlineData(130)]
    public void One_body_is_found_with_its_time_constant_rise_and_start(double tauS)
    {
        const double riseC = 30,
            startC = 7;
        HeatingCells empty = Cells(1, [.. Enumerable.Range(0, 240).Select(i => i < 20 ? 0.0 : 1)]);
        HeatingCurves body = HeatingCurves.Of(empty, tauS);
        double[] rises = [.. body.Heat.Zip(body.Start, (h, s) => riseC * h + startC * s)];
        HeatingModel model = new(empty, lagSdS: 0.1);
        HeatingModel.Solution found = model.Solve(rises, varianceC2: 1e-6, aboutRiseC: riseC);
        Assert.Equal(tauS, found.TauS, tolerance: 0.005 * tauS);
        Assert.Equal(riseC, found.RiseC, tolerance: 0.01 * riseC);
        Assert.Equal(startC, found.BestFit.StartC, tolerance: 0.3);
        AssertEach(rises, model.Predict(found), tolerance: 0.25);
    }

    // Readings without information leave the prior: a normal distribution of the logarithm of the time constant about 70 s, standard
    // deviation 0.8 (docs/methods/temperatures.md), whose cost is the squared deviation; it is a parabola, so its minimum is found exactly.
    [Fact]
    public void Without_a_rise_the_time_constant_is_the_usual_one()
    {
        HeatingCells empty = Cells(1, [.. Enumerable.Repeat(1.0, 100)]);
        HeatingModel.Solution found = new HeatingModel(empty, lagSdS: 0.1).Solve(new double[100], varianceC2: 2, aboutRiseC: 20);
        Assert.Equal(70, found.TauS, tolerance: 1e-6);
        Assert.Equal(0, found.LeastCost, tolerance: 1e-9);

        // 48 time constants from 8 to 900 s, evenly spaced in the logarithm.
        for (int i = 0; i < 48; i++)
        {
            double log = Math.Log(8) + i / 47.0 * Math.Log(900 / 8.0);
            Assert.Equal(2 * Math.Pow((log - Math.Log(70)) / 0.8, 2), found.Fits[i].Cost, tolerance: 1e-9);
        }
    }

    // Two models with equal prior probability are weighted by their likelihoods, exp(-cost / 2 variance); the variance of a mixture is the
    // mean of the variances plus the variance of the means (law of total variance). Variance of a sum: a + 2 cov + b, here of the inverse
    // of [[2, 1], [1, 2]].
    [Theory]
    [InlineData(0, 0.5)]
    [InlineData(1, 0.25)]
    [InlineData(-1, 0.75)]
    public void One_body_and_two_are_weighed_by_their_likelihood(double logOfThree, double shareOfTwo)
    {
        const double variance = 2;
        HeatingModel.Solution one = Solution([Fit(4, 10, 0.3), Fit(0, 12, 0.5), Fit(4, 15, 0.7)], best: 1, riseC: 12);
        TwoBodyFit.Solution two = Two(slowC: 9, quickC: 6, cost: 2 * variance * logOfThree * Math.Log(3));
        HeatingFits fits = new(new HeatingModel(Cells(1, [1, 1]), 0.1), one, two);
        Assert.Equal(12 * (1 - shareOfTwo) + 15 * shareOfTwo, fits.RiseC(variance), tolerance: 1e-9);
        double ofOne = HeatingFits.OneVarianceC2(one, 1.5),
            ofTwo = 1.5 * 2 / 3.0;
        Assert.Equal(ofTwo, two.RiseVarianceC2(1.5), tolerance: 1e-9);
        Assert.Equal(
            (1 - shareOfTwo) * ofOne + shareOfTwo * ofTwo + shareOfTwo * (1 - shareOfTwo) * 3 * 3,
            fits.RiseVarianceC2(variance, 1.5),
            tolerance: 1e-9
        );
        Assert.Equal(shareOfTwo > 0.5, fits.IsTwoLikelier);
        Assert.Equal(shareOfTwo > 0.5 ? 15 : 12, fits.LikelierRiseC, tolerance: 1e-9);
        Assert.Equal(shareOfTwo > 0.5 ? 50 : 70, fits.TauS, tolerance: 1e-9);
        Assert.Equal(shareOfTwo > 0.5 ? 0.25 : 0, fits.SquaresC2, tolerance: 1e-9);
    }

    // Rounding to a step distributes a value evenly over it: step²/12 (GUM F.2.2.1), and for 16 positions within it (1 - 1/16²) of that.
    // The fit here uses the value as it is, so the rise has the same error, and its residual squares have one degree of freedom.
    [Theory]
    [InlineData(1, 10)]
    [InlineData(2, 10)]
    [InlineData(1, 0.5, 0.5)]
    public void Rounding_spreads_a_rise_as_evenly_as_the_readings(double stepC, double varianceOverRounding, double blur = 1)
    {
        HeatingFits At(double value, double squares) =>
            new(new HeatingModel(Cells(1, [1]), 0.1), Solution([Fit(1e6, 0, 1)], 0, 0), Two(value, 0, cost: -1e6, squares, [value]));
        double evenly = stepC * stepC / 12 * (1 - 1 / 256.0);
        var effect = RoundingEffect.Of(
            values => At(values[0], Math.Pow(values[0] - 10, 2)),
            At(10, 0),
            stepC,
            usedCount: 5,
            variance: varianceOverRounding * evenly,
            dependent: 1
        );
        Assert.Equal(evenly * blur, effect.OfRiseC2, tolerance: 1e-9);
        Assert.Equal(evenly, effect.OfResidualsC2, tolerance: 1e-9);
    }

    [Theory]
    [InlineData(19, false)]
    [InlineData(20, true)]
    public void A_fit_needs_twenty_readings(int count, bool known)
    {
        double[] seconds = [.. Enumerable.Range(0, count).Select(i => 3.0 * i)];
        Series temp = new(seconds, Array.ConvertAll(seconds, s => 20 + 30 * (1 - Math.Exp(-s / 60))));
        Assert.Equal(known, TemperatureFit.Fit(temp, Ones(seconds), 20, [new(0, 60)]).RiseSteadyC.IsKnown);
    }

    // Bevington and Robinson, Data Reduction and Error Analysis, ch. 8: the variance of a parameter is twice the variance over the second
    // derivative of the sum of squares; variances of quantities derived from it add (GUM 5.1.2). Here the squares are 4, 0, 4 one step
    // apart.
    [Fact]
    public void The_variance_of_the_rise_includes_that_of_the_time_constant()
    {
        HeatingModel.Solution solution = Solution([Fit(4, 10, 0.3), Fit(0, 12, 0.5), Fit(4, 15, 0.7)], best: 1, riseC: 12);
        Assert.Equal(0.5 * 2 + 2.5 * 2.5 * (2 * 2 / 8.0), HeatingFits.OneVarianceC2(solution, variance: 2), tolerance: Exact);
    }

    // Where the time constant is undetermined the rise is a mixture: the mean of the variances and of the squared distances, each weighted
    // by exp(-cost / 2 variance) and its own width (total variance; Laplace's method).
    [Theory]
    [InlineData(1)]
    [InlineData(0)]
    [InlineData(2)]
    public void An_open_time_constant_mixes_the_rises_of_all(int best)
    {
        TauFit[] fits = [Fit(1, 10, 0.3), Fit(0.5, 12, 0.5), Fit(0.8, 15, 0.7)];
        const double variance = 4;
        double[] weights = [.. fits.Select(f => Math.Exp(-(f.Cost - fits[best].Cost) / (2 * variance)) * Math.Sqrt(f.RiseVarianceFactor))];
        double expected =
            fits.Zip(weights, (f, w) => w * (f.RiseVarianceFactor * variance + Math.Pow(f.RiseC - 12.5, 2))).Sum() / weights.Sum();
        Assert.Equal(expected, HeatingFits.OneVarianceC2(Solution(fits, best, riseC: 12.5), variance), tolerance: 1e-9);
    }

    // Box and Jenkins: a mean of first-order autoregressive values has (1 + r)/(1 - r) times the variance; that is EffectiveSize. Here: the
    // means of the readings in each cell, and the load in cells without a reading.
    [Fact]
    public void Cells_hold_the_means_of_their_readings()
    {
        Series temp = new([10, 10.4, 11.2, 13.1], [20, 22, 24, 30]),
            load = new([10.2, 12.6, 12.8], [0.5, 1, 2]);
        var cells = HeatingCells.Of(temp, load, ambientC: 15);
        Assert.Equal((10.0, 1.0, 3), (cells.StartS, cells.CellS, cells.UsedCount));
        Assert.Equal([true, true, false, true], cells.Used);
        Assert.Equal([6, 9, 15], cells.RisesC.Where((_, i) => cells.Used[i]));

        // Between 10.2 and 12.6 s the load is interpolated linearly at the middle of the cell; after the end it is constant.
        AssertEach([0.5, 0.5 + 0.5 * 1.3 / 2.4, 1.5, 2], cells.Loads, Exact);
    }

    [Fact]
    public void A_long_record_has_240_cells()
    {
        double[] times = [.. Enumerable.Range(0, 1201).Select(i => (double)i)];
        Series series = new(times, times);
        var cells = HeatingCells.Of(series, series, ambientC: 0);
        Assert.Equal(5, cells.CellS, tolerance: Exact);
        Assert.InRange(cells.RisesC.Length, 240, 241);

        // Readings from 0 to 4 s, then from 5 to 9 s.
        Assert.Equal((2, 7), (cells.RisesC[0], cells.RisesC[1]));
    }

    [Theory]
    [InlineData(new[] { 20.0, 21, 22, 23 }, 1)]
    [InlineData(new[] { 20, 20.25, 20.5 }, 0.25)]
    [InlineData(new[] { 20.0, 22, 24, 24, 22 }, 2)]
    [InlineData(new[] { 20.0, 22, 26, 28 }, 1)]
    [InlineData(new[] { 20.0, 22 }, 1)]
    [InlineData(new[] { 20.0, 20, 25 }, 1)]
    public void The_step_of_a_sensor_is_the_least_between_its_readings(double[] readings, double stepC) =>
        Assert.Equal(stepC, TemperatureFit.Resolution(readings), tolerance: Exact);

    // Units simulated with a cold start: ambient is the median, with the allowed spread as its interval.
    [Fact]
    public void Ambient_is_the_median_of_cold_units()
    {
        Assert.Equal(21, Ambient.FromColdStart([Unit(20.5, 21), Unit(22, null)]).Value!.Value, tolerance: Exact);
        Estimate even = Ambient.FromColdStart([Unit(20.5, 21), Unit(22, 21.5)]);
        Assert.Equal(21.25, even.Value!.Value, tolerance: Exact);
        Assert.Equal((20.25, 22.25), (even.Ci95!.Value.Low, even.Ci95.Value.High));
        Assert.Equal(21, Ambient.FromColdStart([Unit(20, 21), Unit(22, null)]).Value);
        Assert.Equal(new AmbientUnitsNotCold(2.5), Ambient.FromColdStart([Unit(20, 21), Unit(22.5, null)]).Why);
        Assert.Equal(new AmbientTooFewTemperatures(), Ambient.FromColdStart([Unit(20, 21)]).Why);
    }

    [Theory]
    [InlineData(31, 21.25)]
    [InlineData(9, 20.75)]
    [InlineData(28.9, null)]
    public void One_unit_far_from_all_others_is_left_out(double apartC, double? ambientC)
    {
        MotorTrack[] units = [Unit(20.5, 21), Unit(21, 21.5), Unit(apartC, ambientC is 20.75 ? 20.5 : 21.5)];
        double? found = Ambient.FromColdStart(units).Value;
        Assert.Equal(ambientC is null, found is null);
        Assert.Equal(
            ambientC is 20.75 ? 21
                : ambientC is null ? double.NaN
                : 21,
            found ?? double.NaN,
            tolerance: Exact
        );
    }

    [Fact]
    public void Motors_turn_by_their_speed_else_by_their_command()
    {
        MotorTrack By(double? rpm, double? command) =>
            Unit(21, 21) with
            {
                Rpm = rpm is double r ? Flat(r) : null,
                Command = command is double c ? Flat(c) : null,
            };
        Assert.False(Ambient.TurnsAtStart([By(59, 1)]));
        Assert.True(Ambient.TurnsAtStart([By(0, 0), By(61, null)]));
        Assert.False(Ambient.TurnsAtStart([By(null, 0.04)]));
        Assert.True(Ambient.TurnsAtStart([By(null, 0.06)]));
    }

    [Fact]
    public void First_readings_are_those_of_two_seconds_and_missing_where_they_begin_late()
    {
        Series ramp = new([0, 1, 2, 3], [20, 21, 22, 50]),
            late = new([2.1, 3, 4], [25, 25, 25]),
            slow = new([4, 6.5, 9], [25, 26, 27]);
        MotorTrack[] motors = [new() { MotorId = "M1", CurrentA = ramp }];
        Assert.Equal(21, Ambient.FirstReading(ramp, motors)!.Value, tolerance: Exact);
        Assert.Null(Ambient.FirstReading(late, motors));
        Assert.Equal(25, Ambient.FirstReading(late.Shifted(-0.1), motors));

        // Readings every 2.5 s may begin 5 s late.
        Assert.Equal(25, Ambient.FirstReading(slow, motors));
        Assert.Null(Ambient.FirstReading(slow.Shifted(1.1), motors));
        Assert.Null(Ambient.FirstReading(new([], []), motors));
        Assert.Null(Ambient.FirstReading(null, motors));
    }

    [Fact]
    public void A_load_has_no_negative_powers()
    {
        Series load = Load.Of(new() { MotorId = "M1", CurrentA = new([0, 1, 2], [-3, 1, 2]) }, [new(0, 2)])!;
        AssertEach([0, 0.6, 2.4], load.Values, Exact);
    }

    // T = 20 + 30 (1 - e^(-t/60)): 10 % of the rise remains after 60 ln 10 = 138.2 s.
    [Theory]
    [InlineData(136, false)]
    [InlineData(141, true)]
    public void A_record_has_reached_its_rise_where_a_tenth_of_it_is_left(double hoverEndS, bool reached)
    {
        TemperatureRise rise = Step(60, 200, hoverEndS);
        Assert.Equal(reached, rise.Reached);
    }

    // The same, compared with the curve itself: the fit is drawn at the middles of its cells.
    [Fact]
    public void The_fitted_course_is_that_of_the_readings()
    {
        TemperatureRise rise = Step(60, 200, 200);
        Assert.Equal(0.5, rise.Fitted!.TimeS[0], tolerance: Exact);
        Assert.All(
            rise.Fitted.TimeS.Zip(rise.Fitted.Values).Skip(3),
            p => Assert.Equal(20 + 30 * (1 - Math.Exp(-(p.First - 0.5) / 60)), p.Second, tolerance: 0.05)
        );
        Assert.InRange(rise.SlowResidualC, 0, 0.02);
    }

    // A slow oscillation of the temperature that heating cannot explain, 2 °C with two periods in the record, remains in the residual:
    // 2/√2, reduced by the part that the fit and the means over tenths of the record absorb (sinc of a fifth: 0.935).
    [Fact]
    public void A_slow_residual_of_the_fit_is_reported()
    {
        double[] seconds = [.. Enumerable.Range(0, 201).Select(i => (double)i)];
        Series temp = new(seconds, Array.ConvertAll(seconds, s => 50 - 30 * Math.Exp(-s / 60) + 2 * Math.Sin(Math.Tau * s / 50)));
        TemperatureRise rise = TemperatureFit.Fit(temp, Ones(seconds), 20, [new(0, 200)]);
        Assert.InRange(rise.SlowResidualC, 0.7 * 2 / Math.Sqrt(2), 2 / Math.Sqrt(2));
    }

    private static TemperatureRise Step(double tauS, int count, double hoverEndS)
    {
        double[] seconds = [.. Enumerable.Range(0, count + 1).Select(i => (double)i)];
        Series temp = new(seconds, Array.ConvertAll(seconds, s => 20 + 30 * (1 - Math.Exp(-s / tauS))));
        return TemperatureFit.Fit(temp, Ones(seconds), 20, [new(20, hoverEndS)]);
    }

    private static Series Ones(double[] seconds) => new(seconds, Array.ConvertAll(seconds, _ => 1.0));

    private static HeatingCells Cells(double cellS, double[] loads) =>
        new(0, cellS, loads, new double[loads.Length], [.. loads.Select(_ => true)]);

    private static TauFit Fit(double cost, double riseC, double factor) => new(cost, riseC, factor, 0, 0, cost);

    private static HeatingModel.Solution Solution(TauFit[] fits, int best, double riseC) => new(fits, best, 70, riseC, fits[best].Cost);

    private static TwoBodyFit.Solution Two(double slowC, double quickC, double cost, double squares = 0.25, double[]? predicted = null)
    {
        Matrix<double> data = Matrix<double>.Build.DenseIdentity(7);
        data[0, 0] = data[1, 1] = 2;
        data[0, 1] = data[1, 0] = 1;
        TwoBodyFit.Unknowns best = new(slowC, quickC, 0, 0, 0, Math.Log(50), Math.Log(10));
        return new(best, predicted ?? [], squares, cost, data, Matrix<double>.Build.Dense(7, 7));
    }

    private static MotorTrack Unit(double motorC, double? escC) =>
        new()
        {
            MotorId = "M1",
            Rpm = Flat(0),
            MotorTempC = Flat(motorC),
            EscTempC = escC is double c ? Flat(c) : null,
        };

    private static Series Flat(double value) => new([0, 1, 2, 3, 4], [value, value, value, value, value]);

    private static void AssertEach(double[] expected, double[] actual, double tolerance)
    {
        Assert.Equal(expected.Length, actual.Length);
        for (int i = 0; i < expected.Length; i++)
        {
            Assert.Equal(expected[i], actual[i], tolerance);
        }
    }
}
