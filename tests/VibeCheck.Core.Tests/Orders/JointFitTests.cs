using System.Numerics;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Orders;

public sealed class JointFitTests
{
    // 1000 samples per second and one envelope sample every 32 samples: 4096 samples are one window of 128 steps.
    private const double RateHz = 1000;

    private const int Samples = 4096;

    // scipy.linalg.lstsq 1.10.1 on the full design matrix of both lines, Hann weights: tools/reference-values/order_fit.py. The
    // demodulation treats the window as linear between envelope samples, neglects the sum-frequency terms and removes the slow motion
    // first: 2e-3 of a line of amplitude 1.
    [Fact]
    public void Two_lines_in_noise_get_the_phasors_of_full_least_squares()
    {
        double[] noise = Noise(Samples, 7);
        double[] y =
        [
            .. Enumerable
                .Range(0, Samples + 1)
                .Select(n =>
                    Math.Cos(Math.Tau * 50 * n / RateHz + 0.3)
                    + 0.4 * Math.Cos(Math.Tau * 50.6 * n / RateHz - 1.1)
                    + (n < Samples ? noise[n] : 0)
                ),
        ];
        WindowFits fits = JointFit.Of(Tracked(y, 50, 50.6), 4.096, loading: 0);

        Assert.Equal(1, fits.Windows);
        AssertNear(new Complex(0.9510027789998997, 0.30078273851842446), fits.Phasors(0, 0)[0]);
        AssertNear(new Complex(0.1946266478775215, -0.36329926499411075), fits.Phasors(1, 0)[0]);
    }

    // 6σ²/N: noise raises a squared amplitude fitted with Hann weights by the window's noise bandwidth, 1.5, times 4σ²/N (least squares). 3
    // axes in 40 windows of 4096 samples: the mean of 120 exponential variates, so 4 standard deviations are 37 %.
    [Fact]
    public void Noise_lifts_a_fitted_square_by_six_variances_over_the_samples()
    {
        double lifted = 0;
        for (int trial = 0; trial < 40; trial++)
        {
            WindowFits fits = JointFit.Of(Tracked(White(trial, Samples + 1), 80), 4.096, loading: 0);
            for (int axis = 0; axis < 3; axis++)
            {
                lifted += Math.Pow(Complex.Abs(fits.Phasors(0, 0)[axis]), 2) / 120;
            }
        }

        Assert.Equal(6.0 / Samples, lifted, tolerance: 0.37 * 6.0 / Samples);
    }

    // 4σ²/S, with S the samples per step: the variance of a least-squares amplitude from S samples (S. Kay, Fundamentals of Statistical
    // Signal Processing: Estimation Theory, 1993, twice 2σ²/S; from memory). 60 s, 3 axes, 6 bins and 10 windows or more: 4 standard
    // deviations are 30 %.
    [Fact]
    public void The_residual_shows_the_noise_of_an_envelope_sample()
    {
        DemodulatedSegment tracked = Tracked(White(41, 60_000), 80);
        NoiseEstimate noise = new NoiseEstimator(tracked.Segment, tracked.Workspace.Threads).Of(JointFit.Of(tracked, 4.096, loading: 0));

        double expected = 4.0 / tracked.Segment.Step;
        Assert.Equal(expected, noise.Variance.Average(), tolerance: 0.3 * expected);
    }

    [Fact]
    public void Demodulated_samples_agree_with_the_sums_written_out()
    {
        var random = new Random(3);
        double[] y = [.. Enumerable.Range(0, 321).Select(_ => Gauss(random))];
        DemodulatedSegment tracked = Tracked(y, 47.3);
        DetrendedSegment segment = tracked.Segment;
        for (int at = 1; at < segment.Intervals; at++)
        {
            Complex sum = 0;
            for (int n = -segment.Step; n <= segment.Step; n++)
            {
                double triangle = 1 - Math.Abs((double)n / segment.Step),
                    phase = Math.Tau * 47.3 * (at * segment.Step + n) / RateHz;
                sum += 2.0 / segment.Step * triangle * segment.Axes[0][at * segment.Step + n] * Complex.FromPolarCoordinates(1, -phase);
            }

            Assert.Equal(0, Complex.Abs(sum - tracked.Sums[0][at]), tolerance: 1e-10);
        }
    }

    private static DemodulatedSegment Tracked(double[] x, params double[] rotorHz) =>
        Tracked([x, new double[x.Length], new double[x.Length]], rotorHz);

    private static DemodulatedSegment Tracked(double[][] axes, params double[] rotorHz)
    {
        double endS = (axes[0].Length - 1) / RateHz;
        var imu = new ImuTrack
        {
            Blocks = [new ContiguousSegment(0, axes[0].Length, 0, 1 / RateHz)],
            AccXMps2 = axes[0],
            AccYMps2 = axes[1],
            AccZMps2 = axes[2],
        };
        DetrendedSegment segment = DetrendedSegment.Cut(imu, [new TimeInterval(0, endS)], 0.1).Single();
        RotorAngle[] angles = [.. rotorHz.Select(hz => new RotorAngle(new Series([0, endS], [60 * hz, 60 * hz])))];
        return DemodulatedSegment.Of(
            segment,
            [.. rotorHz.Select((hz, r) => Line.Of(r, 1, hz, RateHz))],
            RotorPhases.Reported(segment, angles),
            new Workspace()
        );
    }

    private static void AssertNear(Complex expected, Complex actual) => Assert.Equal(0, Complex.Abs(expected - actual), tolerance: 2e-3);

    private static double[] Noise(int count, uint seed)
    {
        var values = new double[count];
        for (int i = 0; i < count; i++)
        {
            seed = 1664525 * seed + 1013904223;
            values[i] = seed / 4294967296.0 - 0.5;
        }

        return values;
    }

    private static double[][] White(int seed, int count)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, 3).Select(_ => Enumerable.Range(0, count).Select(_ => Gauss(random)).ToArray())];
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
}
