using VibeCheck.Core.Orders;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Orders and lines: published worked examples, turned into signals and measured.</summary>
public sealed class OrderChecks
{
    private const double RateHz = 2000;

    // vibrationschool.com, What are beat frequencies: 3580 and 3600 per minute beat 20 times a minute, period 3 s, and a record must hold
    // about three beats to separate them. Here 9 s hold three, 24 s eight.
    [Theory]
    [InlineData(9)]
    [InlineData(24)]
    public void Rotors_whose_lines_beat_every_three_seconds_are_separated(double seconds)
    {
        OrderResult result = Measure(
            seconds,
            t => Cos(3580 / 60.0, t) + Cos(3600 / 60.0, t),
            new() { Orders = [1] },
            ("A", 3580, 2),
            ("B", 3600, 2)
        );

        Assert.All(result.Motors, m => Assert.Equal(1 / Math.Sqrt(2), m.Orders[0].RmsMps2.Value!.Value, tolerance: 0.01));
        Assert.All(result.Motors, m => Assert.True(m.Orders[0].Separable));
    }

    // engineerfix.com, What is blade pass frequency: 5 blades at 1200 rpm pass at 100 Hz.
    [Fact]
    public void Blade_passing_is_the_order_of_the_blade_count()
    {
        OrderResult result = Measure(20, t => 2 * Cos(100, t), new(), ("A", 1200, 5));

        OrderLevel blades = result.Motors[0].Orders.Single(o => o.Order == 5);
        Assert.Equal(Math.Sqrt(2), blades.RmsMps2.Value!.Value, tolerance: 0.01);
        Assert.Contains(10, result.Motors[0].Orders.Select(o => o.Order));
    }

    // Sanyo Denki, Designing for optimized fan acoustics, slide 10: 7 blades, lines at 280, 560, 840 and 960 Hz, so 40 turns per second and
    // orders 7, 14, 21, 24.
    [Fact]
    public void Lines_of_a_fan_are_its_orders()
    {
        double[] hz = [280, 560, 840, 960];
        OrderResult result = Measure(
            20,
            t => hz.Select((f, i) => (i + 1) * Cos(f, t)).Sum(),
            new() { Orders = [7, 14, 21, 24] },
            ("fan", 2400, 7)
        );

        Assert.Equal([7, 14, 21, 24], result.Motors[0].Orders.Select(o => o.Order));
        for (int i = 0; i < 4; i++)
        {
            Assert.Equal((i + 1) / Math.Sqrt(2), result.Motors[0].Orders[i].RmsMps2.Value!.Value, tolerance: 0.01 * (i + 1));
        }
    }

    // National Instruments help, "Aliasing": a line appears at its distance to the nearest multiple of the sample rate; at 100 samples per
    // second 70 Hz appears at 30 Hz. Here 20 times that: 1400 Hz at 2000 per second appears at 600 Hz.
    [Fact]
    public void A_line_above_half_the_sample_rate_is_measured_and_named_as_folded()
    {
        OrderResult result = Measure(20, t => Cos(600, t), new() { Orders = [10] }, ("A", 8400, 2));

        Assert.Equal(1400, result.Motors[0].Orders[0].FoldedFromHz!.Value, tolerance: 1);
        Assert.Equal(1 / Math.Sqrt(2), result.Motors[0].Orders[0].RmsMps2.Value!.Value, tolerance: 0.01);
    }

    private static double Cos(double hz, double t) => Math.Cos(Math.Tau * hz * t);

    private static OrderResult Measure(
        double seconds,
        Func<double, double> x,
        OrderOptions options,
        params (string Id, double Rpm, int Blades)[] rotors
    )
    {
        // A little sensor noise: 0.02 m/s² rms on each axis, seed 11.
        var random = new Random(11);
        int count = (int)(seconds * RateHz);
        double[][] axes = [new double[count], new double[count], new double[count]];
        for (int i = 0; i < count; i++)
        {
            for (int axis = 0; axis < 3; axis++)
            {
                axes[axis][i] =
                    0.07 * (random.NextDouble() - 0.5)
                    + (
                        axis == 0 ? x(i / RateHz)
                        : axis == 2 ? -9.81
                        : 0
                    );
            }
        }

        var imu = new ImuTrack
        {
            Blocks = [new ContiguousSegment(0, count, 0, 1 / RateHz)],
            AccXMps2 = axes[0],
            AccYMps2 = axes[1],
            AccZMps2 = axes[2],
        };
        double[] times = [.. Enumerable.Range(0, (int)(seconds * 20) + 1).Select(i => i / 20.0)];
        return OrderAnalysis.Measure(
            imu,
            [.. rotors.Select(r => new RotorSpeed(r.Id, new Series(times, [.. times.Select(_ => r.Rpm)]), r.Blades))],
            [new TimeInterval(0, seconds)],
            options
        );
    }
}
