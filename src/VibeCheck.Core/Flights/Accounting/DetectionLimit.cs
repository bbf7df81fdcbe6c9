using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>Largest size of a line, and of knocks, that might not be detected: the upper end of the interval of a part in which nothing was
/// found.</summary>
/// <remarks>Detection limit as defined by L. A. Currie, Anal. Chem. 40 (1968) 586-593: found with a probability of 95 %.</remarks>
internal static class DetectionLimit
{
    // One-sided, 95 %.
    private const double Normal95 = 1.645;

    /// <summary>A line with a Hann window half way between two bins has this share of its height at a bin (F. Harris, Proc. IEEE 66, 1978:
    /// 1.42 dB).</summary>
    private const double Scalloping = 0.721;

    /// <summary>Equivalent noise bandwidth of the Hann window, bins (Harris 1978).</summary>
    private const double HannBins = 1.5;

    /// <summary>Share of overlapping windows that count as independent. For noise that does not change it is 0.95 (Welch 1967: Hann, 50 %
    /// overlap, correlation 1/6); it is taken lower, because a hover changes.</summary>
    private const double IndependentShare = 0.7;

    private const int Axes = 3;

    /// <summary>Rms of a steady line that would be found with a probability of 95 % at the highest floor of the band, m/s².</summary>
    /// <param name="floor">Density of the floor, (m/s²)²/Hz, one value for each bin, all axes.</param>
    /// <param name="df">Spacing of the bins, Hz.</param>
    /// <param name="band">The band that is searched.</param>
    /// <param name="windows">Number of windows averaged.</param>
    /// <param name="clear">Ratio to the floor from which a line counts as found.</param>
    internal static double LineMps2(double[] floor, double df, Interval band, int windows, double clear)
    {
        double averaged = Math.Max(1, windows * Axes * IndependentShare),
            above = clear - 1;

        // The density at the line relative to the floor has mean 1 + above and variance (1 + 2 above) / averaged.
        for (int round = 0; round < 20; round++)
        {
            above = clear - 1 + Normal95 * Math.Sqrt((1 + 2 * above) / averaged);
        }

        double highest = 0;
        for (int k = (int)Math.Ceiling(band.Low / df); k <= Math.Min(floor.Length - 1, (int)(band.High / df)); k++)
        {
            highest = Math.Max(highest, floor[k]);
        }

        return Math.Sqrt(above * highest * HannBins * df / Scalloping);
    }

    /// <summary>Mean square of knocks of which none might be detected: if no event is detected, the 95 % upper limit of their number
    /// is three (Poisson: -ln 0.05), each with the least detectable energy.</summary>
    /// <param name="leastEnergy">Energy of the smallest detectable knock, (m/s²)² times samples.</param>
    /// <param name="samples">Number of samples examined.</param>
    internal static double KnocksMeanSquare(double leastEnergy, int samples) => samples == 0 ? 0 : -Math.Log(0.05) * leastEnergy / samples;
}
