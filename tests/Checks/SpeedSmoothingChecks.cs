using VibeCheck.Core.Orders;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Smoothing of reported speeds against generalised least squares of the same model by scipy.</summary>
public sealed class SpeedSmoothingChecks
{
    // Local level model (Harvey 1989, 2.4): noise and walk from the autocovariances of the first differences, -c1 and c0 - 2 · noise;
    // nothing known of the first level. scipy 1.10.1, linalg.solve(I / noise + D' D / walk, y / noise), D the first differences:
    // tools/reference-values/phases.py. In the second row the walk comes out below 0 and is 1e-4 of the noise.
    [Theory]
    [InlineData(
        new double[] { 3000, 3030, 3010, 3060, 3100, 3080, 3140, 3120, 3090, 3160, 3150, 3230 },
        new[]
        {
            3009.5187156858983,
            3023.4536380223076,
            3027.80501476755,
            3058.222040090993,
            3086.0362212843224,
            3093.4081308155155,
            3120.408871352494,
            3118.7291821766667,
            3115.1890794475576,
            3148.52452562757,
            3165.060452898726,
            3203.6441278303987,
        }
    )]
    [InlineData(
        new double[] { 3000, 3012, 2994, 3018, 3006, 3030, 3015, 3048, 3027, 3060, 3051, 3075 },
        new[]
        {
            3027.9577806589227,
            3027.9605764369885,
            3027.964968272699,
            3027.972756605237,
            3027.981542213436,
            3027.992525975857,
            3028.003308990876,
            3028.015392336795,
            3028.025477221948,
            3028.0356646548244,
            3028.042655654166,
            3028.0473509190742,
        }
    )]
    public void Noisy_speed_readings_are_smoothed_as_least_squares_would(double[] rpm, double[] smooth)
    {
        double[] values = [.. rpm];
        SpeedSmoothing.LocalLevel(values);
        Assert.All(smooth.Zip(values), pair => Assert.Equal(pair.First, pair.Second, tolerance: 1e-6));
    }

    // Differences that are all alike have no noise: c1 is above 0.
    [Fact]
    public void Speed_readings_without_noise_stay_as_they_are()
    {
        double[] ramp = [.. Enumerable.Range(0, 20).Select(i => 3000.0 + 5 * i)],
            values = [.. ramp];
        SpeedSmoothing.LocalLevel(values);
        Assert.Equal(ramp, values);
    }

    // Variance of a reading: noise, or rounding to steps where that is more, step²/12 (GUM 4.3.7). Between readings: the integral of a
    // Brownian bridge of unit variance over unit time has the variance 1/12. Noise 580 and walk 849.09 rpm² as above, a reading each 0.1 s.
    [Fact]
    public void An_angle_goes_astray_by_noise_rounding_and_what_the_rotor_does_between_readings()
    {
        const double radpsOfRpm = Math.Tau / 60;
        double[] noisy = [3000, 3030, 3010, 3060, 3100, 3080, 3140, 3120, 3090, 3160, 3150, 3230];
        double expected = (580 + 849.090909090909 / 12) * radpsOfRpm * radpsOfRpm * 0.1;
        Assert.Equal(expected, SpeedSmoothing.AngleProcessNoise(Readings(noisy)), tolerance: 1e-9 * expected);

        // First differences 0, 60, 0, 0, 60, ...: c1 = 0 and c0 = 4 · 60² / 11.
        double[] rounded = [3000, 3000, 3060, 3060, 3060, 3120, 3120, 3120, 3180, 3180, 3180, 3240];
        expected = (60 * 60 / 12.0 + 4 * 60 * 60 / 11.0 / 12) * radpsOfRpm * radpsOfRpm * 0.1;
        Assert.Equal(expected, SpeedSmoothing.AngleProcessNoise(Readings(rounded)), tolerance: 1e-9 * expected);
        Assert.Equal(0, SpeedSmoothing.AngleProcessNoise(Readings([3000, 3010, 3000, 3010])));
    }

    // A rotor's inertia holds it: a reading further than a fifth off the median of five is none, nor are two that follow on
    // each other, nor one of a rotor that stands.
    [Fact]
    public void Readings_that_no_rotor_could_follow_are_left_out()
    {
        double[] rpm =
        [
            3000,
            3000,
            3595,
            3000,
            3000,
            3605,
            3000,
            3000,
            2395,
            3000,
            3000,
            0,
            3000,
            3000,
            double.NaN,
            3000,
            3000,
            3000,
            4000,
            4000,
            3000,
            3000,
            3000,
        ];
        Series clean = SpeedSmoothing.Clean(Readings(rpm));
        Assert.Equal([0, 1, 2, 3, 4, 6, 7, 9, 10, 12, 13, 15, 16, 17, 20, 21, 22], clean.TimeS.Select(t => (int)Math.Round(10 * t)));
    }

    private static Series Readings(double[] rpm) => new([.. rpm.Select((_, i) => i / 10.0)], rpm);
}
