using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>The noise of the accelerometer, measured while the aircraft stands still before or after the flight.</summary>
internal static class SensorNoise
{
    // Close to the hover the speeds still settle, and the aircraft climbs or lands.
    private const double MarginS = 2;

    // Rest is quiet and constant: the mean square of its windows is within this factor of the quietest.
    private const double EvenWithin = 1.5;

    // Fewer windows could be a calm moment in flight.
    private const int LeastWindows = 3;

    // Where the speeds show that no rotor turns, there must be less power than in the hover. Where no speed is logged, a calm moment in
    // flight must not be taken for rest: there must be much less power, and almost all of it between the lines, because turning rotors make
    // lines.
    private const double MostOfHover = 0.8,
        MostOfHoverUnread = 0.25,
        LeastBetweenLines = 0.8;
    private const double ReadWithinS = 1;

    // The floor of the hover is below the noise only because of the scatter of both: noise is subtracted up to this share of it.
    private const double MostOfFloor = 0.98;

    // Number of independent windows for each Hann window at 50 % overlap: 0.95 for noise that does not change (P. D. Welch, IEEE Trans.
    // AU-15 (1967) 70-73), taken lower.
    private const double IndependentShare = 0.75;

    /// <summary>Standard uncertainty of its mean square, as a share. The noise of a small mass rises in proportion to its absolute
    /// temperature (T. B. Gabrielson, IEEE Trans. Electron Devices 40 (1993) 903-909, from memory): 7 % for 20 K, as the half width of a
    /// rectangular distribution (GUM 4.3.7), and the scatter of a few windows.</summary>
    internal const double UShare = 0.05;

    /// <summary>Mean square of the noise in the band, three axes, (m/s²)²; null where the log has no time at rest.</summary>
    /// <param name="flight">The record, with speeds where they are logged.</param>
    /// <param name="hover">The time of the flight that is used.</param>
    /// <param name="band">Band, Hz.</param>
    /// <param name="spectra">The spectra of the hover.</param>
    /// <param name="floor">The floor of the hover between its lines, (m/s²)²/Hz, one value for each bin of those spectra.</param>
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

    /// <summary>Power and mean density between the lines of the quiet windows of a time interval; null where there are too few.</summary>
    private static (double Power, double[] Density)? AtRest(
        Flight flight,
        TimeInterval time,
        Interval band,
        double windowS,
        double df,
        double ofHover
    )
    {
        // If no segment without a gap holds a window as long as those of the hover, the bins would differ.
        double topHz = VibrationAccounting.TopShare * flight.Imu.RateHz;
        if (ShortSpectra.Of(flight.Imu, [time], windowS, topHz) is not { } spectra || spectra.ResolutionHz != df)
        {
            return null;
        }

        double[] power = [.. spectra.Density.Select(row => AccountSplit.Power(row, df, band))];
        int[] quiet = QuietWindows(flight, spectra, power);
        if (quiet.Length < LeastWindows)
        {
            return null;
        }

        double all = quiet.Average(w => power[w]);
        double[] between = BetweenLines(spectra, quiet);
        double ofBetween = AccountSplit.Power(Array.ConvertAll(between, d => (float)d), df, band);
        bool isRest = quiet.All(w => IsReadAsStill(flight, spectra.CentreS[w]))
            ? all <= MostOfHover * ofHover
            : all <= MostOfHoverUnread * ofHover && ofBetween >= LeastBetweenLines * all;
        return isRest ? (all, between) : null;
    }

    /// <summary>Windows in which no rotor is reported to turn, and which are as quiet as the quietest one.</summary>
    private static int[] QuietWindows(Flight flight, ShortSpectra spectra, double[] power)
    {
        int[] still = [.. Enumerable.Range(0, spectra.Windows).Where(w => !Turns(flight, spectra.CentreS[w]))];
        double most = EvenWithin * still.Select(w => power[w]).DefaultIfEmpty(0).Min();
        return [.. still.Where(w => power[w] <= most)];
    }

    /// <summary>Mean density between the lines of some windows: a payload that hums at rest also does so in flight, and its lines remain
    /// vibration. The floor is a median, which is lower than the mean of a chi-squared density (E. B. Wilson, M. M. Hilferty, Proc. Natl.
    /// Acad. Sci. 17 (1931) 684-688).</summary>
    private static double[] BetweenLines(ShortSpectra spectra, int[] windows)
    {
        double freedom = 2 * 3 * Math.Max(1, IndependentShare * windows.Length),
            median = Math.Pow(1 - 2 / (9 * freedom), 3);
        double[] mean = [.. Enumerable.Range(0, spectra.Bins).Select(k => windows.Average(w => (double)spectra.Density[w][k]))];
        return [.. LineFloor.Of(mean).Select(f => f / median)];
    }

    /// <summary>Whether a rotor is reported to turn at that time; false where nothing is reported.</summary>
    private static bool Turns(Flight flight, double timeS) => flight.Motors.Any(m => m.Rpm?.AtOrNaN(timeS, ReadWithinS) > 0);

    /// <summary>Whether every rotor is reported to stand still at that time.</summary>
    private static bool IsReadAsStill(Flight flight, double timeS) =>
        flight.Motors.Count > 0 && flight.Motors.All(m => m.Rpm?.AtOrNaN(timeS, ReadWithinS) == 0);
}
