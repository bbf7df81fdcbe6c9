using VibeCheck.Core.Flights;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Checks;

/// <summary>Relations between acceleration, velocity and displacement of a sine, as published.</summary>
public sealed class VibrationUnitChecks
{
    private const double InchMm = 25.4;

    // Newport, Vibration control: conversion charts: V = 61.4 A/f and D = 9.78 A/f² (in/s, in, g; peak, D peak to peak would be twice 9.78).
    [Theory]
    [InlineData(10)]
    [InlineData(123)]
    public void Peak_velocity_and_displacement_follow_the_chart(double hz)
    {
        SineMotion motion = SineMotion.FromAccelerationPeakG(1, hz);
        Assert.Equal(61.448, Math.Sqrt(2) * motion.VelocityRmsMmps / InchMm * hz, 5e-4);
        Assert.Equal(9.7797, motion.DisplacementPeakToPeakUm / 2 / 1000 / InchMm * hz * hz, 5e-5);
    }

    // svcommunity.com, Conversion between acceleration, velocity and displacement: 86.90/f, 27.661/f², 318.31/f.
    [Fact]
    public void Rms_g_to_inches_follows_the_table()
    {
        const double Hz = 50;
        SineMotion motion = SineMotion.FromAccelerationRmsMps2(SineMotion.StandardGravityMps2, Hz);
        double velocityPeakInps = Math.Sqrt(2) * motion.VelocityRmsMmps / InchMm, peakToPeakIn = motion.DisplacementPeakToPeakUm / 1000 / InchMm;
        Assert.Equal(86.90, velocityPeakInps * Hz, 5e-3);
        Assert.Equal(27.661, peakToPeakIn * Hz * Hz, 5e-4);
        Assert.Equal(318.31, 1000 * peakToPeakIn / velocityPeakInps * Hz, 5e-3);
    }

    // modalshop.com, Low frequency accelerometer calibration exciters: travel for 1 g peak (printed 8.5, 19.9 and 125 mm).
    [Theory]
    [InlineData(7.65, 8.49)]
    [InlineData(5, 19.87)]
    [InlineData(2, 124.2)]
    public void Travel_for_one_g_is_as_printed(double hz, double travelMm) =>
        Assert.Equal(travelMm, SineMotion.FromAccelerationPeakG(1, hz).DisplacementPeakToPeakUm / 1000, 0.05);

    // eng-tips.com thread 262383: 0.462 m rms at 0.38 Hz is 0.38 g peak.
    [Fact]
    public void Displacement_to_acceleration_is_as_worked() =>
        Assert.Equal(0.38, SineMotion.FromDisplacementRmsUm(0.462e6, 0.38).AccelerationPeakG, 5e-3);

    // Common calibration point: at ω = 1000 rad/s (159.155 Hz) the three have the same figure.
    [Fact]
    public void At_a_thousand_radians_a_second_the_three_agree()
    {
        SineMotion motion = SineMotion.FromAccelerationRmsMps2(10, 1000 / (2 * Math.PI));
        Assert.Equal(10, motion.VelocityRmsMmps, 1e-9);
        Assert.Equal(10, motion.DisplacementRmsUm, 1e-9);
        Assert.Equal(10, SineMotion.FromVelocityRmsMmps(10, motion.Hz).AccelerationRmsMps2, 1e-9);
    }

    // From the relations of the Newport chart, computed with numpy.
    [Theory]
    [InlineData(1, 100, 11.036, 49.68)]
    [InlineData(0.5, 80, 6.898, 38.81)]
    public void Peak_g_to_millimetres(double peakG, double hz, double mmps, double micrometres)
    {
        SineMotion motion = SineMotion.FromAccelerationPeakG(peakG, hz);
        Assert.Equal(mmps, motion.VelocityRmsMmps, 5e-4);
        Assert.Equal(micrometres, motion.DisplacementPeakToPeakUm, 5e-3);
    }

    // Newport, as above: of a sine of peak 1 the rms is 0.7071 (printed .707), peak to peak 2. At ω = 1 rad/s displacement has acceleration's figure.
    [Fact]
    public void A_sine_of_peak_one_has_the_charts_rms_and_peak_to_peak()
    {
        SineMotion motion = SineMotion.FromAccelerationPeakG(1, 1 / (2 * Math.PI));
        Assert.Equal(0.7071, motion.AccelerationRmsMps2 / SineMotion.StandardGravityMps2, 5e-5);
        Assert.Equal(2, motion.DisplacementPeakToPeakUm / 1e6 / SineMotion.StandardGravityMps2, 1e-9);
    }

    // ISO 20816-1:2016, before it ISO 10816-1:1995: what is measured is the rms of velocity, mm/s, from 10 to 1000 Hz. Of three sines the one at
    // 80 Hz counts; 5 Hz, which moves 16 times as fast, and 1300 Hz do not.
    [Fact]
    public void The_velocity_of_a_hover_is_taken_in_the_band_of_the_standard()
    {
        const int Rate = 4096, Seconds = 32;
        double[] x = [.. Enumerable.Range(0, Rate * Seconds).Select(i => (double)i / Rate)
            .Select(t => Math.Sqrt(2) * (Math.Sin(2 * Math.PI * 5 * t) + Math.Sin(2 * Math.PI * 80 * t) + 40 * Math.Sin(2 * Math.PI * 1300 * t)))];
        ImuTrack imu = new()
        {
            Blocks = [new ContiguousSegment(0, x.Length, 0, 1.0 / Rate)],
            AccXMps2 = x,
            AccYMps2 = new double[x.Length],
            AccZMps2 = new double[x.Length],
        };
        WelchPlan plan = Spectra.Plan(Rate, 4096, new());
        BroadbandLevels levels = new(plan, bandHz: null);
        Level velocity = levels.Of(Spectra.Averages(imu, SampleRun.Within(imu, [new TimeInterval(0, Seconds)]), plan, levels.Weights))
            .Single(l => l.Channel == "velocity_x");

        double expected = SineMotion.FromAccelerationRmsMps2(1, 80).VelocityRmsMmps;
        Assert.Equal(("mm/s", 10, 1000), (velocity.Unit, velocity.BandHz.Low, velocity.BandHz.High));
        Assert.Equal(expected, velocity.Rms.Value!.Value, 1e-3 * expected);
    }

    // A spectrum's line and a sine must tell the same velocity: the relations above through the density.
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

        // ISO 20816-1 reckons the rms of velocity from 10 to 1000 Hz; the two neighbours of the line change it by some (Δf/f)² = 2e-5.
        Assert.Equal(expected, acceleration.ToVelocity().Rms(10, 1000), 1e-4 * expected);
        Assert.Equal("velocity_x", acceleration.ToVelocity().Channel);
    }
}
