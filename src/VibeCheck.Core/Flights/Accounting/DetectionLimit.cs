using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>How large a line could be, and how much knocks could make, without being found: the
/// upper end of the interval of a part of which nothing
/// was found.</summary>
/// <remarks>Detection limit in the sense of L. A. Currie, Anal. Chem. 40 (1968) 586-593: found with a chance of 95 %.</remarks>
internal static class DetectionLimit
{
    // One-sided, 95 %.
    private const double Normal95 = 1.645;

    /// <summary>A Hann line half way between two bins stands at this share of its height at a bin
    /// (F. Harris, Proc. IEEE 66, 1978: 1.42 dB).</summary>
    private const double Scalloping = 0.721;

    /// <summary>Equivalent noise bandwidth of the Hann window, bins (Harris 1978).</summary>
    private const double HannBins = 1.5;

    /// <summary>Of overlapped windows, so many count as independent (Welch 1967: 50 % overlap, Hann).</summary>
    private const double IndependentShare = 0.7;

    private const int Axes = 3;

    /// <summary>Rms of a steady line that would be found with a chance of 95 % at the highest floor of the band, m/s².</summary>
    /// <param name="floor">Density of the floor, (m/s²)²/Hz, a bin each, all axes.</param>
    /// <param name="df">Spacing of the bins, Hz.</param>
    /// <param name="band">The band that is searched.</param>
    /// <param name="windows">Windows averaged.</param>
    /// <param name="clear">How many times the floor a line must stand at to be found.</param>
    internal static double LineMps2(double[] floor, double df, Interval band, int windows, double clear)
    {
        double averaged = Math.Max(1, windows * Axes * IndependentShare),
            above = clear - 1;

        // The density at the line over the floor has mean 1 + above and variance (1 + 2 above) / averaged.
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

    /// <summary>Mean square that knocks may make without one being seen: no event seen leaves up
    /// to three likely ones (95 %, Poisson: -ln 0.05), each
    /// of the least energy that is noticed.</summary>
    /// <param name="leastEnergy">Energy of the smallest knock that is noticed, (m/s²)² times samples.</param>
    /// <param name="samples">Samples looked at.</param>
    internal static double KnocksMeanSquare(double leastEnergy, int samples) => samples == 0 ? 0 : -Math.Log(0.05) * leastEnergy / samples;
}
