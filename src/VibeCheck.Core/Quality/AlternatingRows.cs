using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Quality;

/// <summary>Whether the rows of two records alternate in one log.</summary>
/// <remarks>Where every other sample comes from another record, the difference between the two records is multiplied by +1 and -1 in turn,
/// which shifts it by half the sample rate (A. Oppenheim, R. Schafer, Discrete-Time Signal Processing: modulation; from memory). So each
/// line at f has an image of equal strength at half the sample rate minus f. No vibration of an aircraft does that.</remarks>
internal static class AlternatingRows
{
    // The loudest tenth of the bins in the band must be this far above the usual bin, so that they are not noise. Their median difference
    // from their images is at most the last value. An average of a few windows scatters by 1 dB.
    private const double LoudShare = 0.1,
        LeastOverUsualDb = 10,
        MostDifferenceDb = 2.5;

    // A constant is in the first bins, and its image in the last: both are effects of the window.
    private const int EdgeBins = 4;

    internal static IEnumerable<QualityIssue> Of(FlightAnalysis analysis)
    {
        double[][] axes = [.. analysis.Spectra.Where(s => s.Channel.StartsWith("acc_", StringComparison.Ordinal)).Select(s => s.Density)];
        if (axes.Length > 0 && ImageDifferenceDb(axes) is double differenceDb && differenceDb < MostDifferenceDb)
        {
            yield return new()
            {
                Cause = new RowsAlternate(differenceDb),
                Track = "imu",
                Effect = QualityEffect.Withheld,
                Affects = Answers.All,
            };
        }
    }

    /// <summary>Median difference in dB between the loudest bins and their images; null where no bin is loud.</summary>
    /// <param name="axes">Power spectral densities on one grid from 0 to half the sample rate.</param>
    private static double? ImageDifferenceDb(double[][] axes)
    {
        int last = axes[0].Length - 1,
            pairs = (last / 2) - EdgeBins;
        if (pairs < 1 / LoudShare)
        {
            return null;
        }

        double Power(int bin) => axes.Sum(a => a[bin]);
        (double Low, double High)[] mirrored =
        [
            .. Enumerable
                .Range(EdgeBins, pairs)
                .Select(k => (Power(k), Power(last - k)))
                .OrderByDescending(p => Math.Max(p.Item1, p.Item2)),
        ];
        (double Low, double High)[] loud = mirrored[..(int)(LoudShare * pairs)];
        double usual = Robust.Median(mirrored.SelectMany(p => new[] { p.Low, p.High })),
            loudest = Robust.Median(loud.Select(p => Math.Max(p.Low, p.High)));
        return usual > 0 && 10 * Math.Log10(loudest / usual) > LeastOverUsualDb
            ? Robust.Median(loud.Select(p => p.Low > 0 && p.High > 0 ? Math.Abs(10 * Math.Log10(p.Low / p.High)) : double.PositiveInfinity))
            : null;
    }
}
