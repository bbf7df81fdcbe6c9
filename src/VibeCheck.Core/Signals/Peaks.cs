namespace VibeCheck.Core.Signals;

/// <summary>A peak of a spectrum.</summary>
/// <param name="Bin">Bin of the highest density.</param>
/// <param name="Hz">Frequency between bins, Hz.</param>
/// <param name="Rms">Root mean square of the part above the foot of the peak, in the spectrum's unit.</param>
/// <param name="ProminenceDb">Height over the higher of the two saddles that separate it from higher peaks, dB.</param>
/// <param name="WidthHz">Width at half the peak's power, Hz, as seen, the window's own width included.</param>
/// <param name="IsLine">Whether it is as narrow as a steady line would be under the window.</param>
public sealed record Peak(int Bin, double Hz, double Rms, double ProminenceDb, double WidthHz, bool IsLine);

/// <summary>Finds the peaks of spectra.</summary>
public static class Peaks
{
    // A steady line under a Hann window is 1.44 bins wide at half power; twice that is no longer one.
    private const double LineWidthBins = 2.2;

    /// <summary>Peaks that exceed the spectrum's own scatter, in rising order of frequency.</summary>
    /// <param name="spectrum">The spectrum.</param>
    /// <param name="fromHz">Lowest frequency wanted, Hz.</param>
    /// <param name="leastProminenceDb">Least prominence wanted, dB; raised where the scatter of the averages asks for more.</param>
    public static IReadOnlyList<Peak> Find(Spectrum spectrum, double fromHz = 0, double leastProminenceDb = 6)
    {
        ArgumentNullException.ThrowIfNull(spectrum);
        double[] levelDb = Array.ConvertAll(spectrum.Density, d => 10 * Math.Log10(Math.Max(d, double.Epsilon)));
        double leastDb = Math.Max(leastProminenceDb, ScatterDb(spectrum.DegreesOfFreedom));
        List<Peak> peaks = [];
        foreach ((int bin, double prominenceDb) in Prominent(levelDb, leastDb))
        {
            Peak peak = Describe(spectrum, levelDb, bin, prominenceDb);
            if (peak.Hz >= fromHz)
            {
                peaks.Add(peak);
            }
        }

        return peaks;
    }

    /// <summary>Local maxima whose prominence reaches a least value, in rising order of bin.</summary>
    /// <param name="values">Ordinates; a flat top counts once, at its middle. The ends are no peaks.</param>
    /// <param name="leastProminence">In the unit of the ordinates.</param>
    /// <remarks>Prominence as in topography: height over the higher of the lowest points on
    /// the way to higher ground on either side.</remarks>
    public static IReadOnlyList<(int Bin, double Prominence)> Prominent(ReadOnlySpan<double> values, double leastProminence)
    {
        List<(int, double)> found = [];
        for (int i = 1; i < values.Length - 1; i++)
        {
            if (values[i] <= values[i - 1])
            {
                continue;
            }

            int end = i;
            while (end + 1 < values.Length && values[end + 1] == values[i])
            {
                end++;
            }

            if (end + 1 < values.Length && values[end + 1] < values[i])
            {
                double prominence = values[i] - Math.Max(LowestTowards(values, i, -1), LowestTowards(values, end, 1));
                if (prominence >= leastProminence)
                {
                    found.Add(((i + end) / 2, prominence));
                }
            }

            i = end;
        }

        return found;
    }

    // Eight standard deviations of the logarithm of a chi-square mean: highest hill to deepest valley of a few thousand bins of noise.
    private static double ScatterDb(double degreesOfFreedom) => 8 * 10 / Math.Log(10) * Math.Sqrt(2 / Math.Max(degreesOfFreedom, 1));

    private static double LowestTowards(ReadOnlySpan<double> values, int from, int step)
    {
        double lowest = values[from];
        for (int i = from + step; i >= 0 && i < values.Length && values[i] <= values[from]; i += step)
        {
            lowest = Math.Min(lowest, values[i]);
        }

        return lowest;
    }

    private static Peak Describe(Spectrum spectrum, double[] levelDb, int bin, double prominenceDb)
    {
        double widthBins =
            CrossingBins(levelDb, bin, 1, levelDb[bin] - HalfPowerDb) + CrossingBins(levelDb, bin, -1, levelDb[bin] - HalfPowerDb);
        double[] density = spectrum.Density;
        double left = Math.Sqrt(density[bin - 1]),
            middle = Math.Sqrt(density[bin]),
            right = Math.Sqrt(density[bin + 1]);
        bool isLine = widthBins <= LineWidthBins * spectrum.Window.NoiseBandwidthBins / Window.Hann.NoiseBandwidthBins;
        (double offset, double rms) = isLine
            ? Line(spectrum, left, middle, right)
            : (
                LogParabola.Vertex(levelDb[bin - 1], levelDb[bin], levelDb[bin + 1]).Offset,
                RmsAboveFoot(spectrum, bin, levelDb, prominenceDb)
            );
        return new(bin, (bin + offset) * spectrum.ResolutionHz, rms, prominenceDb, widthBins * spectrum.ResolutionHz, isLine);
    }

    private const double HalfPowerDb = 3.0102999566398120;

    private static (double Offset, double Rms) Line(Spectrum spectrum, double left, double middle, double right)
    {
        (double offset, double magnitude) = LogParabola.Line(left, middle, right, spectrum.Window);
        return (offset, magnitude * Math.Sqrt(spectrum.NoiseBandwidthBins * spectrum.ResolutionHz));
    }

    /// <summary>Bins from the peak to where the level first falls to a value, linear between bins; to the end when it never does.</summary>
    private static double CrossingBins(double[] levelDb, int bin, int step, double toDb)
    {
        int i = bin;
        while (i + step >= 0 && i + step < levelDb.Length && levelDb[i + step] > toDb)
        {
            i += step;
        }

        return i + step < 0 || i + step >= levelDb.Length
            ? Math.Abs(i - bin)
            : Math.Abs(i - bin) + (levelDb[i] - toDb) / (levelDb[i] - levelDb[i + step]);
    }

    /// <summary>Power between the points where the peak falls to its foot, the foot's own level subtracted.</summary>
    private static double RmsAboveFoot(Spectrum spectrum, int bin, double[] levelDb, double prominenceDb)
    {
        double footDb = levelDb[bin] - Math.Min(prominenceDb, 20);
        int first = bin - (int)CrossingBins(levelDb, bin, -1, footDb),
            last = bin + (int)CrossingBins(levelDb, bin, 1, footDb);
        double foot = Math.Pow(10, footDb / 10),
            power = 0;
        for (int k = first; k <= last; k++)
        {
            power += Math.Max(0, spectrum.Density[k] - foot);
        }

        return Math.Sqrt(power * spectrum.ResolutionHz);
    }
}
