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

    // Where the speeds show that no rotor turns, less must happen than in the hover. Where no speed is logged, a lull in flight must not
    // pass for rest: then much less must happen, and nearly all of it between the lines, for rotors that turn make lines.
    private const double MostOfHover = 0.8,
        MostOfHoverUnread = 0.25,
        LeastBetweenLines = 0.8;
    private const double ReadWithinS = 1;

    // The floor of the hover lies below the noise by no more than the scatter of both: noise is taken off up to this share of it.
    private const double MostOfFloor = 0.98;

    // Windows of a Hann window that overlap by half: independent windows to each (P. D. Welch, IEEE Trans. AU-15 (1967) 70-73).
    private const double IndependentShare = 0.75;

    /// <summary>Standard uncertainty of its mean square, share. The noise of a small mass rises in proportion to its absolute temperature
    /// (T. B. Gabrielson, IEEE Trans. Electron Devices 40 (1993) 903-909): 7 % for 20 K, as half the width of a rectangle (GUM 4.3.7), and
    /// the scatter of a few windows.</summary>
    internal const double UShare = 0.05;

    /// <summary>Mean square of the noise in the band, three axes, (m/s²)²; null where the log shows no time at rest.</summary>
    /// <param name="flight">The record, with speeds where they are logged.</param>
    /// <param name="hover">The time used of the flight.</param>
    /// <param name="band">Band, Hz.</param>
    /// <param name="spectra">Those of the hover.</param>
    /// <param name="floor">The floor of the hover between its lines, (m/s²)²/Hz, one value a bin of those spectra.</param>
    /// <param name="windowS">Length of the windows, s.</param>
    internal static double? MeanSquare(
        Flight flight,
        IReadOnlyList<TimeInterval> hover,
        Interval band,
        ShortSpectra spectra,
        double[] floor,
        double windowS
    )
    {
        double ofHover = spectra.Density.Average(row => AccountSplit.Power(row, spectra.ResolutionHz, band));
        ImuTrack imu = flight.Imu;
        TimeInterval[] around = [new(imu.StartS, hover.Min(h => h.FromS) - MarginS), new(hover.Max(h => h.ToS) + MarginS, imu.EndS)];
        double[]? density = around
            .Where(t => t.Seconds > windowS)
            .Select(t => AtRest(flight, t, band, windowS, spectra.ResolutionHz, ofHover))
            .OfType<(double Power, double[] Density)>()
            .OrderBy(r => r.Power)
            .Select(r => r.Density)
            .FirstOrDefault();
        if (density is null)
        {
            return null;
        }

        float[] noise = [.. density.Select((d, k) => (float)Math.Min(d, MostOfFloor * floor[k]))];
        return AccountSplit.Power(noise, spectra.ResolutionHz, band);
    }

    /// <summary>Power and mean density between the lines of the quiet windows of a time; null where there are too few.</summary>
    private static (double Power, double[] Density)? AtRest(
        Flight flight,
        TimeInterval time,
        Interval band,
        double windowS,
        double df,
        double ofHover
    )
    {
        // Where no stretch without a gap holds a window as long as those of the hover, the bins would not be the same.
        double topHz = VibrationAccounting.TopShare * flight.Imu.RateHz;
        if (ShortSpectra.Of(flight.Imu, [time], windowS, topHz) is not { } spectra || spectra.ResolutionHz != df)
        {
            return null;
        }

        int[] still = [.. Enumerable.Range(0, spectra.Windows).Where(w => !Turns(flight, spectra.CentreS[w]))];
        double[] power = [.. spectra.Density.Select(row => AccountSplit.Power(row, df, band))];
        double most = EvenWithin * still.Select(w => power[w]).DefaultIfEmpty(0).Min();
        int[] quiet = [.. still.Where(w => power[w] <= most)];
        if (quiet.Length < LeastWindows)
        {
            return null;
        }

        // A payload that hums at rest does so in flight: lines stay vibration. The median lies below the mean of a chi-squared density
        // (E. B. Wilson, M. M. Hilferty, Proc. Natl. Acad. Sci. 17 (1931) 684-688).
        double freedom = 2 * 3 * Math.Max(1, IndependentShare * quiet.Length),
            median = Math.Pow(1 - 2 / (9 * freedom), 3),
            all = quiet.Average(w => power[w]);
        double[] mean = [.. Enumerable.Range(0, spectra.Bins).Select(k => quiet.Average(w => (double)spectra.Density[w][k]))];
        double[] between = [.. LineFloor.Of(mean).Select(f => f / median)];
        bool isRest = quiet.All(w => IsReadAsStill(flight, spectra.CentreS[w]))
            ? all <= MostOfHover * ofHover
            : all <= MostOfHoverUnread * ofHover
                && AccountSplit.Power(Array.ConvertAll(between, d => (float)d), df, band) >= LeastBetweenLines * all;
        return isRest ? (all, between) : null;
    }

    /// <summary>Whether a rotor is reported to turn then; false where nothing is reported.</summary>
    private static bool Turns(Flight flight, double timeS) => flight.Motors.Any(m => m.Rpm?.AtOrNaN(timeS, ReadWithinS) > 0);

    /// <summary>Whether every rotor is reported to stand still then.</summary>
    private static bool IsReadAsStill(Flight flight, double timeS) =>
        flight.Motors.Count > 0 && flight.Motors.All(m => m.Rpm?.AtOrNaN(timeS, ReadWithinS) == 0);
}
