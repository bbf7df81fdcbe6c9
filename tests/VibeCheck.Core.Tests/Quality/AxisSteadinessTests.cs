using VibeCheck.Core.Quality;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>An axis whose gain is low for part of the time.</summary>
public sealed class AxisSteadinessTests
{
    private const double RateHz = 500;
    private const int Count = 30_000;

    /// <summary>Two beating lines, each in its own direction, with a different noise level on each axis.</summary>
    private static ImuTrack Lines(Func<double, double> gainOfY, Func<double, double> noiseOfX)
    {
        var random = new Random(5);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
        double[][] axes = [new double[Count], new double[Count], new double[Count]];
        for (int i = 0; i < Count; i++)
        {
            double t = i / RateHz;
            for (int axis = 0; axis < 3; axis++)
            {
                double lines = (axis + 1) * Math.Cos(Math.Tau * 63.2 * t + axis) + (3 - axis) * Math.Cos(Math.Tau * 63.9 * t + 2.1 * axis);
                axes[axis][i] =
                    (axis == 1 ? gainOfY(t) : 1) * (lines + 0.2 * (axis + 1) * Normal()) + (axis == 0 ? noiseOfX(t) * Normal() : 0);
            }
        }

        return new()
        {
            Blocks = [new(0, Count, 0, 1 / RateHz)],
            AccXMps2 = axes[0],
            AccYMps2 = axes[1],
            AccZMps2 = axes[2],
        };
    }

    private static IReadOnlyList<QualityIssue> Issues(ImuTrack imu) => [.. AxisSteadiness.Of(imu, imu.Blocks)];

    [Fact]
    public void An_axis_that_is_weak_at_times_is_named_with_its_loss_and_share()
    {
        QualityIssue issue = Assert.Single(Issues(Lines(t => t % 10 < 4 ? 0.2 : 1, _ => 0)));
        AxisGainChanges cause = Assert.IsType<AxisGainChanges>(issue.Cause);
        Assert.Equal(("acc_y", QualityEffect.Withheld), (cause.Axis, issue.Effect));

        // 20 log10 0.2 dB in four tenths of the time.
        Assert.Equal(20 * Math.Log10(0.2), cause.GainDb, 1.0);
        Assert.Equal(0.4, cause.Share, 0.05);
    }

    [Fact]
    public void A_short_loss_of_gain_widens_the_interval()
    {
        QualityIssue issue = Assert.Single(Issues(Lines(t => t % 15 < 1.5 ? 0.2 : 1, _ => 0)));
        Assert.Equal(QualityEffect.Widened, issue.Effect);
        Assert.InRange(issue.AddedDb, 0.1, 0.4);
    }

    [Fact]
    public void Lines_that_beat_are_no_fault() => Assert.Empty(Issues(Lines(_ => 1, _ => 0)));

    [Fact]
    public void A_gust_that_adds_half_as_much_noise_again_to_one_axis_is_no_fault() =>
        Assert.Empty(Issues(Lines(_ => 1, t => t % 20 < 5 ? 0.1 : 0)));

    // Knocks add to one axis but do not change its lines.
    [Fact]
    public void Knocks_in_one_axis_are_no_loose_contact()
    {
        ImuTrack imu = Lines(_ => 1, t => t % 3 < 0.06 ? 6 : 0);
        Assert.Empty(Issues(imu));
    }

    [Fact]
    public void A_sample_rate_too_low_for_a_spectrum_gives_no_fault() =>
        Assert.Empty(
            AxisSteadiness.Of(
                new()
                {
                    Blocks = [new(0, 3000, 0, 0.1)],
                    AccXMps2 = new double[3000],
                    AccYMps2 = new double[3000],
                    AccZMps2 = new double[3000],
                },
                [new(0, 3000, 0, 0.1)]
            )
        );
}
