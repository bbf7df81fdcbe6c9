using VibeCheck.Core.Orders;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Orders;

public sealed class OrderAnalysisTests
{
    private const double RateHz = 1000;

    private static readonly TimeInterval[] s_hover = [new(0, 20)];

    [Fact]
    public void Two_rotors_half_a_hertz_apart_get_their_own_sizes()
    {
        // 0.2 dB is 2.3 %. Simulated: 50.0 and 50.5 Hz, amplitudes 1.0 and 0.4 on x alone, so the levels are 1/√2 and 0.4/√2.
        ImuTrack imu = Track(t => Math.Cos(Math.Tau * 50 * t) + 0.4 * Math.Cos(Math.Tau * 50.5 * t + 1));
        OrderResult result = OrderAnalysis.Measure(imu, [Steady("A", 3000), Steady("B", 3030)], s_hover, new() { Orders = [1] });

        Assert.Equal(1 / Math.Sqrt(2), result.Motors[0].Orders[0].RmsMps2.Value!.Value, tolerance: 0.016);
        Assert.Equal(0.4 / Math.Sqrt(2), result.Motors[1].Orders[0].RmsMps2.Value!.Value, tolerance: 0.0065);
        Assert.Equal(3000, result.Motors[0].RpmMean.Value!.Value, tolerance: 0.5);
        Assert.Equal(Math.Sqrt(1.16 / 2), result.RotorVibrationMps2.Value!.Value, tolerance: 0.016);
    }

    [Fact]
    public void Every_window_and_pass_is_reported()
    {
        // Windows of 2 s with half overlap: 19 in 20 s, fitted at least once.
        var told = new Told();
        ImuTrack imu = Track(t => Math.Cos(Math.Tau * 50 * t) + 0.4 * Math.Cos(Math.Tau * 53 * t + 1));
        OrderAnalysis.Measure(imu, [Steady("A", 3000), Steady("B", 3180)], s_hover, new() { Orders = [1], Progress = told });

        Assert.True(told.Windows >= 19, $"{told.Windows} windows");
        Assert.InRange(told.Passes, 1, 200);
    }

    [Fact]
    public void A_motor_that_stands_still_is_unknown_with_the_reason_and_the_other_is_measured()
    {
        ImuTrack imu = Track(t => Math.Cos(Math.Tau * 50 * t));
        OrderResult result = OrderAnalysis.Measure(imu, [Steady("A", 3000), Steady("B", 0)], s_hover, new());

        Assert.Equal(new MotorStoodStill(), result.Motors[1].Orders[0].RmsMps2.Why);
        Assert.Equal(1 / Math.Sqrt(2), result.Motors[0].Orders[0].RmsMps2.Value!.Value, tolerance: 0.016);
    }

    [Fact]
    public void A_rotor_whose_orders_all_lie_too_high_is_unknown_and_the_other_is_measured()
    {
        // At 1000 Hz orders above 1500 Hz are not measured: order 6 of 260 Hz lies at 1560, of 166.7 Hz at 1000, folded onto 0, of 100 Hz
        // at 600, folded to 400.
        ImuTrack imu = Track(t => Math.Cos(Math.Tau * 6 * 100 * t));
        OrderResult result = OrderAnalysis.Measure(
            imu,
            [Steady("A", 15600), Steady("B", 10000), Steady("C", 6000)],
            s_hover,
            new() { Orders = [6] }
        );

        Assert.IsType<OrderAboveSampleRate>(result.Motors[0].Orders[0].RmsMps2.Why);
        Assert.IsType<OrderAtFold>(result.Motors[1].Orders[0].RmsMps2.Why);
        Assert.Equal(1 / Math.Sqrt(2), result.Motors[2].Orders[0].RmsMps2.Value!.Value, tolerance: 0.016);
    }

    [Fact]
    public void Orders_that_all_lie_too_high_give_reasons_and_no_zero()
    {
        OrderResult result = OrderAnalysis.Measure(
            Track(t => Math.Cos(Math.Tau * 50 * t)),
            [Steady("A", 3000)],
            s_hover,
            new() { Orders = [99] }
        );

        Assert.False(result.RotorVibrationMps2.IsKnown);
        Assert.False(result.Motors[0].RpmMean.IsKnown);
        Assert.IsType<OrderAboveSampleRate>(result.Motors[0].Orders[0].RmsMps2.Why);
    }

    [Fact]
    public void No_hover_gives_reasons_and_no_numbers()
    {
        OrderResult result = OrderAnalysis.Measure(Track(_ => 0), [Steady("A", 3000)], [], new());

        Assert.False(result.RotorVibrationMps2.IsKnown);
        Assert.All(result.Motors[0].Orders, o => Assert.NotNull(o.RmsMps2.Why));
    }

    [Fact]
    public void Two_rotors_of_the_very_same_speed_are_given_as_a_group()
    {
        // Simulated: one tone of amplitude 1 that either of two rotors could cause; together 1/√2, within 2.5 %.
        ImuTrack imu = Track(t => Math.Cos(Math.Tau * 50 * t));
        OrderResult result = OrderAnalysis.Measure(imu, [Steady("A", 3000), Steady("B", 3000)], s_hover, new() { Orders = [1] });

        OrderLevel level = result.Motors[0].Orders[0];
        Assert.False(level.Separable);
        Assert.False(level.RmsMps2.IsKnown);
        Assert.Equal(["A", "B"], level.Group);
        Assert.Equal(1 / Math.Sqrt(2), level.GroupMps2!.Value!.Value, tolerance: 0.018);
    }

    [Fact]
    public void Rotors_observed_for_less_than_a_beat_are_a_group_whose_level_is_undetermined()
    {
        // Simulated: 59.67 and 60 Hz, amplitude 1 each, over 2 s: two thirds of a beat. Their combined level, 1 m/s² over a whole beat,
        // depends on the phase of the beat.
        ImuTrack imu = Track(t => Math.Cos(Math.Tau * 3580 / 60 * t) + Math.Cos(Math.Tau * 60 * t + 1));
        OrderResult result = OrderAnalysis.Measure(imu, [Steady("A", 3580), Steady("B", 3600)], [new(0, 2)], new() { Orders = [1] });

        Assert.All(result.Motors, m => Assert.False(m.Orders[0].Separable));
        Assert.Null(result.Motors[0].Orders[0].GroupMps2!.Ci95);
        Assert.True(result.RotorVibrationMps2.IsKnown);
        Assert.Null(result.RotorVibrationMps2.Ci95);
        Assert.IsType<BeatTooSlow>(result.RotorVibrationMps2.Why);
    }

    [Fact]
    public void A_beat_and_a_third_is_enough_to_separate_steady_rotors()
    {
        // Simulated: as above over 4 s. Within 5 % of 1/√2 each.
        ImuTrack imu = Track(t => Math.Cos(Math.Tau * 3580 / 60 * t) + Math.Cos(Math.Tau * 60 * t + 1) + 0.1 * Math.Sin(1e4 * t * t));
        OrderResult result = OrderAnalysis.Measure(imu, [Steady("A", 3580), Steady("B", 3600)], [new(0, 4)], new() { Orders = [1] });

        Assert.All(result.Motors, m => Assert.Equal(1 / Math.Sqrt(2), m.Orders[0].RmsMps2.Value!.Value, tolerance: 0.035));
    }

    [Fact]
    public void Latency_of_speeds_is_detected_and_corrected()
    {
        // Simulated: 60 Hz varying by 2 % every 5 s, reported with a latency of 80 ms, in noise of 0.05 m/s² rms.
        static double Angle(double t) => Math.Tau * (60 * t - 1.2 * 5 / Math.Tau * Math.Cos(Math.Tau * t / 5));
        static double Rpm(double t) => 3600 + 72 * Math.Sin(Math.Tau * t / 5);
        var random = new Random(5);
        ImuTrack imu = Track(t => Math.Cos(Angle(t)) + 0.17 * (random.NextDouble() - 0.5));
        double[] times = [.. Enumerable.Range(0, 401).Select(i => i * 0.05)];
        var late = new RotorSpeed("A", new Series(times, [.. times.Select(t => Rpm(t - 0.08))]), 2);
        OrderResult result = OrderAnalysis.Measure(imu, [late], s_hover, new() { Orders = [1] });

        Assert.Equal(0.08, result.Motors[0].SpeedLagS!.Value, tolerance: 0.02);
        Assert.Equal(1 / Math.Sqrt(2), result.Motors[0].Orders[0].RmsMps2.Value!.Value, tolerance: 0.016);
    }

    [Fact]
    public void Holes_of_NaN_and_speeds_that_are_not_numbers_do_no_harm()
    {
        ImuTrack imu = Track(t => t is > 8 and < 8.3 ? double.NaN : Math.Cos(Math.Tau * 50 * t));
        double[] times = [.. Enumerable.Range(0, 401).Select(i => i * 0.05)];
        var spotted = new RotorSpeed(
            "A",
            new Series(
                times,
                [
                    .. times.Select(
                        (_, i) =>
                            i % 17 == 0 ? double.NaN
                            : i % 29 == 0 ? 0
                            : 3000.0
                    ),
                ]
            ),
            2
        );
        OrderResult result = OrderAnalysis.Measure(imu, [spotted], s_hover, new() { Orders = [1] });

        Assert.Equal(1 / Math.Sqrt(2), result.Motors[0].Orders[0].RmsMps2.Value!.Value, tolerance: 0.016);
        Assert.True(result.SecondsUsed < 19.8);
    }

    private static ImuTrack Track(Func<double, double> x)
    {
        double[] acc = [.. Enumerable.Range(0, 20_000).Select(i => x(i / RateHz))];
        return new ImuTrack
        {
            Blocks = [new ContiguousSegment(0, acc.Length, 0, 1 / RateHz)],
            AccXMps2 = acc,
            AccYMps2 = new double[acc.Length],
            AccZMps2 = [.. acc.Select(_ => -9.81)],
        };
    }

    private static RotorSpeed Steady(string id, double rpm) =>
        new(id, new Series([.. Enumerable.Range(0, 401).Select(i => i * 0.05)], [.. Enumerable.Repeat(rpm, 401)]), 2);

    private sealed class Told : IProgress<FitProgress>
    {
        private int _windows,
            _passes;

        internal int Windows => _windows;

        internal int Passes => _passes;

        public void Report(FitProgress value)
        {
            Interlocked.Add(ref _windows, value.Windows);
            Interlocked.Add(ref _passes, value.Passes);
        }
    }
}
