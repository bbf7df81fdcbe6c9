using MathNet.Numerics.Distributions;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Quality;

public sealed class LinePowerTests
{
    private const double RateHz = 500;
    private const int Samples = 10_000,
        Trials = 200;

    // Two standard deviations of 0.25 are 0.5: the power is 1.5 to 2.5.
    [Fact]
    public void A_share_is_as_uncertain_as_the_noise_around_the_lines() =>
        Assert.Equal(new FittedShare(0.5, 0.4, 1 / 1.5), new LinePower(2, 0.0625).Share(1, without: 1));

    [Fact]
    public void Power_that_may_be_noise_alone_leaves_open_that_a_fit_holds_all_of_it() =>
        Assert.Equal(double.PositiveInfinity, new LinePower(2, 1.1).Share(1, without: 1).High);

    [Fact]
    public void Where_no_power_is_above_the_noise_there_is_no_share_to_judge() =>
        Assert.Equal(new FittedShare(1, 1, 1), new LinePower(-0.1, 0.01).Share(1, without: 1));

    // Powers of white noise are exponentially distributed, with a variance of the square of the mean (NIST e-Handbook 1.3.6.6.7). The
    // variance of 200 trials is known to 10 %, and what windows share is neglected.
    [Fact]
    public void White_noise_has_no_power_at_the_lines_and_the_scatter_that_is_said()
    {
        var random = new Random(17);
        var near = new LinePower[Trials];
        var wide = new LinePower[Trials];
        for (int trial = 0; trial < Trials; trial++)
        {
            (near[trial], wide[trial]) = OfNoise(random);
        }

        AssertFair(near);
        AssertFair(wide);
    }

    private static void AssertFair(LinePower[] powers)
    {
        double mean = powers.Average(p => p.Mps2Squared),
            variance = powers.Average(p => p.Mps2Squared * p.Mps2Squared) - mean * mean,
            said = powers.Average(p => p.Variance);
        Assert.InRange(mean, -4 * Math.Sqrt(said / Trials), 4 * Math.Sqrt(said / Trials));
        Assert.InRange(variance / said, 0.6, 1.3);
    }

    private static (LinePower Near, LinePower Wide) OfNoise(Random random)
    {
        double[][] axes =
        [
            .. new[] { 0.5, 1, 2 }.Select(rms => Enumerable.Range(0, Samples).Select(_ => Normal.Sample(random, 0, rms)).ToArray()),
        ];
        ContiguousSegment all = new(0, Samples, 0, 1 / RateHz);
        ImuTrack imu = new()
        {
            Blocks = [all],
            AccXMps2 = axes[0],
            AccYMps2 = axes[1],
            AccZMps2 = axes[2],
        };
        double end = Samples / RateHz;
        return LineSpectra.Of(imu, [new Series([0, end], [3600, 3600])], [all], [1, 2], [])!.LinePowers();
    }
}
