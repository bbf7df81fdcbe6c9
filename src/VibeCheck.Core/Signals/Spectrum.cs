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
}
