using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>What the accelerometer shows of itself, measured while the aircraft stands still before or after the flight.</summary>
internal static class SensorNoise
{
    // Outside the hover speeds settle, and the aircraft climbs or lands.
    private const double MarginS = 2;

    // Rest is quiet and even: its windows lie within this factor of the quietest, in mean square.
    private const double EvenWithin = 1.5;

    // Fewer windows could be a lull in flight.
    private const int LeastWindows = 3;

    // In flight at least twice as much happens, in mean square. The floor of the hover never lies below the noise by more than
    // the scatter of both, so noise is taken off only up to this share of it.
    private const double MostOfHover = 0.5,
        MostOfFloor = 0.98;

    // Windows of a Hann window that overlap by half: independent windows to each (P. D. Welch, IEEE Trans. AU-15 (1967) 70-73).
    private const double IndependentShare = 0.75;

    /// <summary>Standard uncertainty of its mean square, share. The noise of a small mass rises in proportion to its absolute temperature
    /// (T. B. Gabrielson, IEEE Trans. Electron Devices 40 (1993) 903-909): 7 % for 20 K, as half the width of a rectangle (GUM 4.3.7), and
    /// the scatter of a few windows.</summary>
    internal const double UShare = 0.05;

    /// <summary>Mean square of the noise in the band, three axes, (m/s²)²; null where the log shows no time at rest.</summary>
    /// <param name="imu">The record.</param>
    /// <param name="hover">The time used of the flight.</param>
    /// <param name="band">Band, Hz.</param>
    /// <param name="spectra">Those of the hover.</param>
    /// <param name="floor">The floor of the hover between its lines, (m/s²)²/Hz, one value a bin of those spectra.</param>
    /// <param name="windowS">Length of the windows, s.</param>
    internal static double? MeanSquare(
        ImuTrack imu,
        IReadOnlyList<TimeInterval> hover,
        Interval band,
        ShortSpectra spectra,
        double[] floor,
        double windowS
    )
    {
        double atMost = MostOfHover * spectra.Density.Average(row => AccountSplit.Power(row, spectra.ResolutionHz, band));
        TimeInterval[] around = [new(imu.StartS, hover.Min(h => h.FromS) - MarginS), new(hover.Max(h => h.ToS) + MarginS, imu.EndS)];
        double[]? density = around
            .Where(t => t.Seconds > windowS)
            .Select(t => AtRest(imu, t, band, windowS, atMost))
            .OfType<(double Power, double[] Density)>()
            .OrderBy(r => r.Power)
            .Select(r => r.Density)
            .FirstOrDefault();
        if (density is null || density.Length > spectra.Bins)
        {
            return null;
        }

        float[] noise = [.. density.Select((d, k) => (float)Math.Min(d, MostOfFloor * floor[k]))];
        return AccountSplit.Power(noise, spectra.ResolutionHz, band);
    }

    /// <summary>Power and mean density between the lines of the quiet windows of a time; null where there are too few.</summary>
    private static (double Power, double[] Density)? AtRest(ImuTrack imu, TimeInterval time, Interval band, double windowS, double atMost)
    {
        if (ShortSpectra.Of(imu, [time], windowS, VibrationAccounting.TopShare * imu.RateHz) is not { } spectra)
        {
            return null;
        }

        double df = spectra.ResolutionHz;
        double[] power = [.. spectra.Density.Select(row => AccountSplit.Power(row, df, band))];
        double most = Math.Min(atMost, EvenWithin * power.Min());
        float[][] quiet = [.. spectra.Density.Where((_, w) => power[w] <= most)];
        if (quiet.Length < LeastWindows)
        {
            return null;
        }

        // A payload that hums at rest does so in flight: lines stay vibration. The median lies below the mean of a chi-squared density
        // (E. B. Wilson, M. M. Hilferty, Proc. Natl. Acad. Sci. 17 (1931) 684-688).
        double freedom = 2 * 3 * Math.Max(1, IndependentShare * quiet.Length),
            median = Math.Pow(1 - 2 / (9 * freedom), 3);
        double[] mean = [.. Enumerable.Range(0, spectra.Bins).Select(k => quiet.Average(row => (double)row[k]))];
        return (quiet.Average(row => AccountSplit.Power(row, df, band)), [.. LineFloor.Of(mean).Select(f => f / median)]);
    }
}
