using VibeCheck.Core.Quality;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Tests.Quality;

/// <summary>Detects errors of the sample times from the noise that they leave beside the lines.</summary>
public sealed class SampleTimesTests
{
    private const double RateHz = 500,
        Seconds = 60;

    /// <summary>Three lines on each axis and white noise, with normally distributed errors of the sample times.</summary>
    private static ImuTrack Lines(double deviationS, double amplitudeNoise = 0)
    {
        var random = new Random(21);
        double Normal() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
        int count = (int)(Seconds * RateHz);
        double[][] axes = [new double[count], new double[count], new double[count]];
        for (int i = 0; i < count; i++)
        {
            double t = i / RateHz + deviationS * Normal(),
                gain = 1 + amplitudeNoise * Normal();
            for (int axis = 0; axis < 3; axis++)
            {
                double lines =
                    3 * Math.Cos(Math.Tau * 63.2 * t + axis)
                    + 2 * Math.Cos(Math.Tau * 65.9 * t + 2.1 * axis)
                    + Math.Cos(Math.Tau * 127.4 * t + 0.4 * axis);
                axes[axis][i] = gain * lines + 0.2 * Normal();
            }
        }

        return new()
        {
            Blocks = [new(0, count, 0, 1 / RateHz)],
            AccXMps2 = axes[0],
            AccYMps2 = axes[1],
            AccZMps2 = axes[2],
        };
    }

    // Loss of a line: 20 log10 exp(w²d²/2) dB (A. Balakrishnan, On the problem of time jitter in sampling, 1962; from memory), here
    // weighted by the power of the lines: 4.5, 2 and 0.5 (m/s²)² at 63.2, 65.9 and 127.4 Hz.
    private static double LossDb(double deviationS) =>
        4.3429 * deviationS * deviationS * Math.Pow(Math.Tau, 2) * (4.5 * 63.2 * 63.2 + 2 * 65.9 * 65.9 + 0.5 * 127.4 * 127.4) / 7;

    [Theory]
    [InlineData(0.0002)]
    [InlineData(0.0005)]
    [InlineData(0.001)]
    public void Uneven_sampling_is_measured_in_seconds_and_decibels(double deviationS)
    {
        ImuTrack imu = Lines(deviationS);
        SampleTimes.Unevenness found = SampleTimes.Measure(imu, imu.Blocks)!.Value;
        Assert.InRange(found.DeviationS, 0.85 * deviationS, 1.15 * deviationS);
        Assert.InRange(found.LossDb, 0.7 * LossDb(deviationS), 1.3 * LossDb(deviationS));
        Assert.True(found.Deviations > 5);
    }

    [Fact]
    public void Even_sampling_and_a_gain_that_flickers_are_no_unevenness()
    {
        foreach (ImuTrack imu in (ImuTrack[])[Lines(0), Lines(0, amplitudeNoise: 0.1)])
        {
            Assert.True(SampleTimes.Measure(imu, imu.Blocks) is not { Deviations: > 5, LossDb: > 0.03 });
        }
    }
}
