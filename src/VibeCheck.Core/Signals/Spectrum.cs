using MathNet.Numerics.Distributions;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Signals;

/// <summary>A one-sided averaged power spectral density on an even grid from 0 to half the sample rate.</summary>
public sealed record Spectrum
{
    /// <summary>acc_x, acc_y, acc_z, rate_x, rate_y, rate_z.</summary>
    public required string Channel { get; init; }

    /// <summary>Unit of the signal; the density's unit is this squared per Hz.</summary>
    public required string Unit { get; init; }

    /// <summary>Spacing of the grid, Hz.</summary>
    public required double ResolutionHz { get; init; }

    /// <summary>Density at k · <see cref="ResolutionHz"/>.</summary>
    public required double[] Density { get; init; }

    /// <summary>Equivalent noise bandwidth of the window, bins.</summary>
    public required double NoiseBandwidthBins { get; init; }

    /// <summary>Degrees of freedom of each density (overlap counted), for chi-square intervals.</summary>
    public required double DegreesOfFreedom { get; init; }

    /// <summary>The window it was made with.</summary>
    public Window Window { get; init; } = Window.Hann;

    /// <summary>Half the sample rate, Hz: where the grid ends.</summary>
    public double HighestHz => (Density.Length - 1) * ResolutionHz;

    /// <summary>Root mean square within a band, in <see cref="Unit"/>.</summary>
    /// <param name="fromHz">Lower edge, Hz.</param>
    /// <param name="toHz">Upper edge, Hz.</param>
    public double Rms(double fromHz, double toHz)
    {
        double[] weights = BandWeights.Flat(Density.Length, ResolutionHz, fromHz, toHz);
        double power = 0;
        for (int k = 0; k < weights.Length; k++)
        {
            power += weights[k] * Density[k];
        }

        return Math.Sqrt(power * ResolutionHz);
    }

    /// <summary>Root mean square over the whole grid, in <see cref="Unit"/>: that of the samples about their mean (Parseval).</summary>
    public double Rms()
    {
        double power = 0;
        foreach (double density in Density)
        {
            power += density;
        }

        return Math.Sqrt(power * ResolutionHz);
    }

    /// <summary>What a density is multiplied by to give the ends of its 95 % interval: ν/χ²(0.975) and ν/χ²(0.025).</summary>
    public Interval Ci95Factors =>
        new(DegreesOfFreedom / ChiSquared.InvCDF(DegreesOfFreedom, 0.975), DegreesOfFreedom / ChiSquared.InvCDF(DegreesOfFreedom, 0.025));

    /// <summary>The velocity spectrum, mm/s, of an acceleration spectrum in m/s²: density over
    /// (2πf)²; 0 at 0 Hz, where it has no answer.</summary>
    /// <exception cref="InvalidOperationException">The unit is not m/s².</exception>
    public Spectrum ToVelocity()
    {
        if (Unit != "m/s²")
        {
            throw new InvalidOperationException($"velocity follows from acceleration in m/s², not from {Unit}");
        }

        double[] weights = BandWeights.Velocity(Density.Length, ResolutionHz, 0, HighestHz);
        double[] density = new double[Density.Length];
        for (int k = 1; k < density.Length; k++)
        {
            density[k] = Density[k] * weights[k];
        }

        return this with
        {
            Channel = Channel.Replace("acc_", "velocity_", StringComparison.Ordinal),
            Unit = "mm/s",
            Density = density,
        };
    }
}
