using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>What the report of the orders makes of the levels of lines: intervals, totals, groups and reasons.</summary>
public sealed class OrderReportChecks
{
    private const double RateHz = 500;
    private const double Exact = 1e-9;

    // GUM 5.1.2: the variance of a sum of independent amounts is the sum of their variances; 1.96 deviations hold 95 % of a normal law
    // (GUM table G.1). Deviation of a line: 1.4 of that of the fit, and 0.75 % + 0.25 % an order of the mean square, times the variance
    // inflation, which what two lines have together does not suffer from (docs/methods/orders.md, 11).
    [Fact]
    public void The_uncertainty_of_a_total_is_that_of_the_sum_of_its_orders()
    {
        (double Square, double Deviation, double Inflation)[] lines = [(4, 0.05, 1), (1, 0.02, 1.8), (2.25, 0.03, 1.5), (0.25, 0.04, 1.2)];
        Job job = new([("A", 3000), ("B", 4200)], [1, 3], _ => 0, [(0, 3.2)]);
        OrderResult result = job.Report([.. lines.Select(l => Level(l.Square, l.Deviation, l.Inflation))]);
        double variance = 0;
        for (int i = 0; i < 4; i++)
        {
            (double square, double deviation, double inflation) = lines[i];
            double model = (0.0075 + 0.0025 * (i % 2 == 0 ? 1 : 3)) * square,
                noise = 1.4 * deviation;
            OrderLevel order = result.Motors[i / 2].Orders[i % 2];
            AssertRoot(square, Math.Sqrt(noise * noise + Math.Pow(inflation * model, 2)), order.RmsMps2);
            Assert.True(order.Separable);
            Assert.Equal(Math.Sqrt(square), order.PerAxisMps2![0], tolerance: Exact);
            variance += noise * noise + model * model;
        }

        AssertRoot(lines.Sum(l => l.Square), Math.Sqrt(variance), result.RotorVibrationMps2);
        Assert.Equal(3.2, result.SecondsUsed, tolerance: Exact);
    }

    // A mean square less its noise may fall below 0 by chance. The size is then what a tenth of the deviation leaves; the model's share is
    // one of the square, of which there is none.
    [Fact]
    public void A_line_that_chance_puts_below_the_noise_has_a_size_and_an_interval_from_zero()
    {
        OrderResult result = new Job([("A", 3000)], [1], _ => 0, [(0, 3.2)]).Report([Level(-0.5, 0.3, 1)]);
        Estimate size = result.Motors[0].Orders[0].RmsMps2;
        Assert.Equal(Math.Sqrt(0.1 * 1.4 * 0.3), size.Value!.Value, tolerance: Exact);
        Assert.Equal(0, size.Ci95!.Value.Low);
        Assert.Equal(Math.Sqrt(1.96 * 1.4 * 0.3), size.Ci95.Value.High, tolerance: Exact);
        Assert.Equal(0, result.Motors[0].Orders[0].PerAxisMps2![0]);
    }

    // Mean square of a sum of sines of different frequency: the sum of A²/2. The mean of cos over N turns is at most 1/(πN), under a window
    // twice that; each further line adds as much (docs/methods/orders.md, 11). A square that may be off by a share u either way lies
    // between what is seen over 1 + u and over 1 - u.
    [Theory]
    [InlineData(2, 1)]
    [InlineData(3, 0.7)]
    [InlineData(2, 0.4)]
    public void Motors_that_beat_too_slowly_are_given_as_a_group_that_counts_once(int motors, double apartHz)
    {
        double[] hz = [.. Enumerable.Range(0, motors).Select(i => 50 + i * apartHz)],
            amplitudes = [1, 0.5, 0.7];
        Job job = new(
            [.. hz.Select((f, i) => ($"M{i}", 60 * f)), ("fast", 4800)],
            [1],
            t => hz.Select((f, i) => amplitudes[i] * Math.Cos(Math.Tau * f * t + i)).Sum(),
            [(0, 16)]
        );
        OrderResult result = job.Report([.. hz.Select(_ => Level(1, 0.01, 10.5)), Level(2, 0.1, 1)]);
        double truth = hz.Select((_, i) => amplitudes[i] * amplitudes[i] / 2).Sum(),
            share = 2 * (motors - 1) / (Math.PI * apartHz * 16);
        double square = Math.Pow(result.Motors[0].Orders[0].GroupMps2!.Value!.Value, 2);
        Assert.Equal(truth, square, tolerance: 0.05 * truth);
        foreach (RotorOrders motor in result.Motors.SkipLast(1))
        {
            OrderLevel order = motor.Orders[0];
            Assert.False(order.Separable);
            Assert.IsType<OrderNotSeparable>(order.RmsMps2.Why);
            Assert.Equal(hz.Select((_, i) => $"M{i}"), order.Group);
            Assert.Equal(square, Math.Pow(order.GroupMps2!.Value!.Value, 2), tolerance: Exact);
            Assert.Equal(square / (1 + share), Math.Pow(order.GroupMps2.Ci95!.Value.Low, 2), tolerance: 1e-6);
            Assert.Equal(square / (1 - share), Math.Pow(order.GroupMps2.Ci95.Value.High, 2), tolerance: 1e-6);
        }

        // GUM 5.1.2 again: the group's upper half width and the other motor's deviation.
        double alone = Math.Sqrt(Math.Pow(1.4 * 0.1, 2) + Math.Pow(0.01 * 2, 2)),
            group = (square / (1 - share) - square) / 1.96;
        AssertRoot(square + 2, Math.Sqrt(alone * alone + group * group), result.RotorVibrationMps2, tolerance: 1e-6);
    }

    // Two sines of one frequency and phase are one of the sum of their amplitudes; no beat tells how much of it is interference. Such power
    // counts in full as doubt of the total up to a tenth of it; beyond, the total has no interval (docs/methods/orders.md, 11).
    [Theory]
    [InlineData(4, true)]
    [InlineData(1.13, true)]
    [InlineData(1.12, false)]
    [InlineData(0.5, false)]
    public void Motors_of_one_speed_leave_the_total_an_interval_only_while_they_are_a_small_part(double other, bool bounded)
    {
        Job job = new([("A", 3000), ("B", 3000), ("fast", 4800)], [1], t => 0.5 * Math.Cos(Math.Tau * 50 * t), [(0, 3.2)]);
        OrderResult result = job.Report([Level(1, 0.01, 1), Level(1, 0.01, 1), Level(other, 0.1, 1)]);
        Estimate group = result.Motors[0].Orders[0].GroupMps2!;
        Assert.Equal(0.5 / Math.Sqrt(2), group.Value!.Value, tolerance: 0.001);
        Assert.IsType<BeatTooSlow>(group.Why);
        double square = group.Value.Value * group.Value.Value,
            alone = Math.Sqrt(Math.Pow(1.4 * 0.1, 2) + Math.Pow(0.01 * other, 2));
        Assert.Equal(Math.Sqrt(square + other), result.RotorVibrationMps2.Value!.Value, tolerance: Exact);
        if (bounded)
        {
            AssertRoot(square + other, Math.Sqrt(alone * alone + square * square), result.RotorVibrationMps2);
        }
        else
        {
            Assert.IsType<BeatTooSlow>(result.RotorVibrationMps2.Why);
        }
    }

    [Fact]
    public void A_group_without_vibration_is_in_the_noise_and_adds_nothing()
    {
        Job job = new([("A", 3000), ("B", 3060), ("fast", 4800)], [1], _ => 0, [(0, 3.2)]);
        OrderResult result = job.Report([Level(1, 0.01, 11), Level(1, 0.01, 11), Level(2, 0.1, 1)]);
        Assert.IsType<GroupInNoise>(result.Motors[0].Orders[0].GroupMps2!.Why);
        AssertRoot(2, Math.Sqrt(Math.Pow(1.4 * 0.1, 2) + Math.Pow(0.01 * 2, 2)), result.RotorVibrationMps2);
    }

    // Half a hertz apart, 1.6 s hold 0.8 of a beat and 3.2 s 1.6: one segment that shows the beat is enough.
    [Theory]
    [InlineData(1.6, false)]
    [InlineData(3.2, true)]
    public void One_part_of_the_hover_that_holds_a_beat_tells_two_motors_apart(double secondS, bool separable)
    {
        Job job = new(
            [("A", 3000), ("B", 3030)],
            [1],
            t => Math.Cos(Math.Tau * 50 * t) + Math.Cos(Math.Tau * 50.5 * t),
            [(0, 1.6), (4, 4 + secondS)]
        );
        OrderResult result = job.Report([Level(0.5, 0.01, 1), Level(0.5, 0.01, 1)]);
        Assert.All(result.Motors, m => Assert.Equal(separable, m.Orders[0].Separable));
    }

    // docs/methods/orders.md, 11: not given where neighbours raise the variance more than ten times, or more than twice with a deviation
    // above a quarter of the mean square.
    [Theory]
    [InlineData(10.5, 0.01, false)]
    [InlineData(9.5, 0.01, true)]
    [InlineData(2.5, 0.185, false)]
    [InlineData(2.5, 0.170, true)]
    [InlineData(1.9, 0.3, true)]
    public void A_line_whose_phase_was_lost_is_not_given_and_not_counted(double inflation, double deviation, bool given)
    {
        OrderResult result = new Job([("A", 3000)], [1, 3], _ => 0, [(0, 3.2)]).Report([Level(1, deviation, inflation), Level(3, 0.01, 1)]);
        OrderLevel order = result.Motors[0].Orders[0];
        Assert.Equal(given, order.RmsMps2.IsKnown);
        Assert.True(given || order.RmsMps2.Why is PhaseNotTracked);
        Assert.Empty(order.Group);
        Assert.Equal(Math.Sqrt(given ? 4 : 3), result.RotorVibrationMps2.Value!.Value, tolerance: Exact);
    }

    // Mean speed: turns over time. Speed that rises evenly has the mean of its middle; 1.6 s about 3048 and 3.2 s about 3456 rpm. A tenth
    // of a turn at the ends of each part: 60 · 0.2 / 4.8 s.
    [Fact]
    public void The_mean_speed_is_the_turns_over_the_time()
    {
        Job job = new([("A", t => 3000 + 60 * t)], [1], _ => 0, [(0, 1.6), (6, 9.2)]);
        Estimate rpm = job.Report([Level(1, 0.1, 1)]).Motors[0].RpmMean;
        Assert.Equal(3320, rpm.Value!.Value, tolerance: 1e-6);
        Assert.Equal(3322.5, rpm.Ci95!.Value.High, tolerance: 1e-6);
    }

    [Fact]
    public void Without_a_line_the_report_says_why()
    {
        Estimate Total(params (string, double)[] rotors) => new Job(rotors, [1], _ => 0, [(0, 3.2)]).Report([]).RotorVibrationMps2;
        Assert.IsType<NoRotors>(Total().Why);
        Assert.IsType<MotorStoodStill>(Total(("A", 10)).Why);
        Assert.IsType<NoMeasurableOrder>(Total(("A", 60_000)).Why);
        Assert.IsType<NoMeasurableOrder>(Total(("A", 10), ("B", 60_000)).Why);
    }

    [Fact]
    public void A_motor_that_stood_still_has_no_lag_and_no_speed_beside_one_that_turned()
    {
        OrderResult result = new Job([("A", 10), ("B", 3000)], [1], _ => 0, [(0, 3.2)]).Report([Level(1, 0.1, 1)], lagS: 0.05);
        Assert.Null(result.Motors[0].SpeedLagS);
        Assert.IsType<MotorStoodStill>(result.Motors[0].RpmMean.Why);
        Assert.IsType<MotorStoodStill>(result.Motors[0].Orders[0].RmsMps2.Why);
        Assert.Equal(0.05, result.Motors[1].SpeedLagS);
    }

    private static LineLevel Level(double square, double deviation, double inflation) =>
        new()
        {
            Square = square,
            Deviation = deviation,
            PerAxis = [square, 0, 0],
            VarianceInflation = inflation,
        };

    private static void AssertRoot(double square, double deviation, Estimate root, double tolerance = Exact)
    {
        Assert.Equal(Math.Sqrt(square), root.Value!.Value, tolerance);
        Assert.Equal(Math.Sqrt(square - 1.96 * deviation), root.Ci95!.Value.Low, tolerance);
        Assert.Equal(Math.Sqrt(square + 1.96 * deviation), root.Ci95.Value.High, tolerance);
    }

    /// <summary>A hover in parts, acceleration on x, rotors of known speed.</summary>
    private sealed class Job
    {
        private readonly LineSelection _selection;
        private readonly List<DetrendedSegment> _segments;

        internal Job((string Id, double Rpm)[] rotors, int[] orders, Func<double, double> x, (double FromS, double ToS)[] hover)
            : this([.. rotors.Select(r => (r.Id, new Func<double, double>(_ => r.Rpm)))], orders, x, hover) { }

        internal Job(
            (string Id, Func<double, double> Rpm)[] rotors,
            int[] orders,
            Func<double, double> x,
            (double FromS, double ToS)[] hover
        )
        {
            double seconds = hover.Max(h => h.ToS);
            _segments = DetrendedSegment.Cut(
                OrderSegments.Track(RateHz, seconds, x),
                [.. hover.Select(h => new TimeInterval(h.FromS, h.ToS))],
                leastS: 1
            );
            _selection = LineSelection.Of(
                [.. rotors.Select(r => OrderSegments.Rotor(r.Id, seconds, r.Rpm))],
                _segments,
                new() { Orders = orders }
            );
        }

        internal OrderResult Report(LineLevel[] levels, double? lagS = null) =>
            new OrderReport(_selection, _segments, levels.Length == 0 ? [] : OrderSegments.Demodulated(_selection, _segments), lagS).Result(
                levels
            );
    }
}
