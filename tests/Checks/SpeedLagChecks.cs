using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>The delay of reported speeds: made vibration of a known speed, read late by a known time.</summary>
public sealed class SpeedLagChecks
{
    private const double RateHz = 500;
    private const double SecondsS = 8;

    // Delays between those that are tried, 10 ms apart: a parabola through the best and its neighbours finds them (numpy's polyfit of
    // degree 2 has its vertex at -b / 2a). Without it the nearest is up to 5 ms off; with a wrong bend or side more than that.
    [Theory]
    [InlineData(-0.033)]
    [InlineData(0.004)]
    [InlineData(0.073)]
    [InlineData(0.147)]
    [InlineData(0.3)]
    public void The_delay_of_reported_speeds_is_found_between_the_delays_that_are_tried(double lagS) =>
        Assert.Equal(lagS, Lag(lagS)!.Value, tolerance: 0.0006);

    [Fact]
    public void Speeds_that_do_not_vary_show_no_delay() => Assert.Null(Lag(0.073, wander: 0));

    // Tried from 0.12 s early to 0.52 s late.
    [Theory]
    [InlineData(-0.2)]
    [InlineData(0.6)]
    public void A_delay_beyond_those_that_are_tried_is_not_given(double lagS) => Assert.Null(Lag(lagS));

    // S. Kay, Fundamentals of Statistical Signal Processing: Detection Theory, 1998 (from memory): a sine of known phase path in white
    // noise raises the log-likelihood by A²N / 4σ²; here by 4 at most, less than the 20 that a delay needs, or by 100.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    [InlineData(6)]
    [InlineData(7)]
    [InlineData(8)]
    public void A_delay_that_noise_may_have_made_is_not_given(int seed)
    {
        double amplitude = Math.Sqrt(4 * 4 / (SecondsS * RateHz));
        Assert.Null(Lag(0.073, wander: 1, amplitude, noise: 1, orders: [1], seed));
        Assert.NotNull(Lag(0.073, wander: 1, 5 * amplitude, noise: 1, orders: [1], seed));
    }

    private static double? Lag(
        double lagS,
        double wander = 1,
        double amplitude = 1,
        double noise = 0.03,
        int[]? orders = null,
        int seed = 3
    )
    {
        // The angle is the integral of the speed, Hz, 50 + 3 sin + 1.5 sin.
        double Turn(double t) =>
            50 * t
            - wander * (3 * Math.Cos(Math.Tau * 0.31 * t) / (Math.Tau * 0.31) + 1.5 * Math.Cos(Math.Tau * 0.83 * t) / (Math.Tau * 0.83));
        double Hz(double t) => 50 + wander * (3 * Math.Sin(Math.Tau * 0.31 * t) + 1.5 * Math.Sin(Math.Tau * 0.83 * t));
        var random = new Random(seed);
        int count = (int)(SecondsS * RateHz) + 1;
        double[][] axes =
        [
            .. Enumerable.Range(0, 3).Select(_ => Enumerable.Range(0, count).Select(_ => noise * OrderSegments.Normal(random)).ToArray()),
        ];
        for (int i = 0; i < count; i++)
        {
            axes[0][i] += amplitude * Math.Cos(Math.Tau * Turn(i / RateHz));
            axes[1][i] += amplitude * Math.Cos(2 * Math.Tau * Turn(i / RateHz) + 1);
        }

        DetrendedSegment segment = DetrendedSegment
            .Cut(OrderSegments.Track(RateHz, axes[0], axes[1], axes[2]), [new TimeInterval(0, SecondsS)], 1)
            .Single();
        double[] times = [.. Enumerable.Range(-50, 600).Select(i => 0.02 * i)];
        RotorAngle[] angles = [new(new Series(times, [.. times.Select(t => 60 * Hz(t - lagS))]))];
        using var demodulated = DemodulatedSegment.Of(
            segment,
            [.. (orders ?? [1, 2]).Select(k => Line.Of(0, k, 50, RateHz))],
            RotorPhases.Reported(segment, angles),
            new Workspace()
        );
        return SpeedLag.Of(demodulated, angles);
    }
}
