using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Relations between acceleration and velocity of a sine, as published.</summary>
public sealed class VibrationUnitChecks
{
    private const double InchMm = 25.4,
        GravityMps2 = 9.80665;

    // Newport, Vibration control: conversion charts: V = 61.4 A/f (in/s, g; peak); the ratio of peaks is that of the rms values.
    [Theory]
    [InlineData(10)]
    [InlineData(123)]
    public void Velocity_of_one_g_follows_the_chart(double hz) => Assert.Equal(61.448, VelocityMmps(GravityMps2, hz) / InchMm * hz, 5e-4);

    // svcommunity.com, Conversion between acceleration, velocity and displacement: velocity peak in in/s is 86.90/f of g rms.
    [Fact]
    public void Rms_g_to_inches_a_second_follows_the_table() =>
        Assert.Equal(86.90, Math.Sqrt(2) * VelocityMmps(GravityMps2, 50) / InchMm * 50, 5e-3);

    // Common calibration point: at ω = 1000 rad/s (159.155 Hz) the values in m/s² and mm/s are equal.
    [Fact]
    public void At_a_thousand_radians_a_second_the_two_agree() => Assert.Equal(10, VelocityMmps(10, 1000 / (2 * Math.PI)), 1e-9);

    // From the relations of the Newport chart, computed with numpy: g peak to mm/s rms.
    [Theory]
    [InlineData(1, 100, 11.036)]
    [InlineData(0.5, 80, 6.898)]
    public void Peak_g_to_millimetres_a_second(double peakG, double hz, double mmps) =>
        Assert.Equal(mmps, VelocityMmps(peakG * GravityMps2 / Math.Sqrt(2), hz), 5e-4);

    // ISO 20816-1:2016, formerly ISO 10816-1:1995: the measured quantity is the rms of velocity, mm/s, from 10 to 1000 Hz. Of three sines
    // only the one at 80 Hz counts; 5 Hz, with 16 times the velocity, and 1300 Hz do not.
    [Fact]
    public void The_velocity_of_a_hover_is_taken_in_the_band_of_the_standard()
    {
        const int Rate = 4096,
            Seconds = 32;
        double[] x =
        [
            .. Enumerable
                .Range(0, Rate * Seconds)
                .Select(i => (double)i / Rate)
                .Select(t =>
                    Math.Sqrt(2) * (Math.Sin(2 * Math.PI * 5 * t) + Math.Sin(2 * Math.PI * 80 * t) + 40 * Math.Sin(2 * Math.PI * 1300 * t))
                ),
        ];
        ImuTrack imu = new()
        {
            Blocks = [new ContiguousSegment(0, x.Length, 0, 1.0 / Rate)],
            AccXMps2 = x,
            AccYMps2 = new double[x.Length],
            AccZMps2 = new double[x.Length],
        };
        WelchPlan plan = Spectra.Plan(Rate, 4096, new());
        BroadbandLevels levels = new(plan, bandHz: null);
        Level velocity = levels
            .Of(Spectra.Averages(imu, ContiguousSegment.Within(imu, [new TimeInterval(0, Seconds)]), plan, levels.Weights))
            .Single(l => l.Channel == "velocity_x");

        double expected = SineMotion.FromAccelerationRmsMps2(1, 80).VelocityRmsMmps;
        Assert.Equal(("mm/s", 10, 1000), (velocity.Unit, velocity.BandHz.Low, velocity.BandHz.High));
        Assert.Equal(expected, velocity.Rms.Value!.Value, 1e-3 * expected);
    }

    // The line of a spectrum and a sine must give the same velocity: the relations above through the density.
    [Fact]
    public void The_velocity_spectrum_agrees_with_the_sine()
    {
        const double Hz = 64;
        double[] tone = [.. Enumerable.Range(0, 4096).Select(n => 3 * Math.Sin(2 * Math.PI * Hz * n / 1024.0))];
        Spectrum acceleration = new()
        {
            Channel = "acc_x",
            Unit = "m/s²",
            ResolutionHz = 0.25,
            Density = Welch.Density(tone, 1024, Window.Hann, 4096, 2048),
            NoiseBandwidthBins = 1.5,
            DegreesOfFreedom = 2,
        };
        double expected = SineMotion.FromAccelerationRmsMps2(3 / Math.Sqrt(2), Hz).VelocityRmsMmps;

        // ISO 20816-1 calculates the rms of velocity from 10 to 1000 Hz; the two neighbours of the line change it by about (Δf/f)² = 2e-5.
        Assert.Equal(expected, acceleration.ToVelocity().Rms(10, 1000), 1e-4 * expected);
        Assert.Equal("velocity_x", acceleration.ToVelocity().Channel);
    }

    private static double VelocityMmps(double accelerationRmsMps2, double hz) =>
        SineMotion.FromAccelerationRmsMps2(accelerationRmsMps2, hz).VelocityRmsMmps;
}
