using VibeCheck.Core.Signals;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Spectral density against rotor speed, over the whole flight: the frequency of rotor lines rises with speed, that of the
/// structure stays.</summary>
public sealed record SpeedFrequencyMap
{
    private const double BinRpm = 100;

    /// <summary>Centre of each speed bin, rpm, rising; only bins that occur in the flight.</summary>
    public required double[] Rpm { get; init; }

    /// <summary>Spacing of the frequency bins, Hz.</summary>
    public required double ResolutionHz { get; init; }

    /// <summary>Mean density in each speed bin, (m/s²)²/Hz; one row for each speed.</summary>
    public required IReadOnlyList<double[]> Density { get; init; }

    /// <summary>Number of windows averaged in each row.</summary>
    public required int[] Windows { get; init; }

    /// <summary>Groups the windows of a spectrogram by the mean speed of the rotors.</summary>
    /// <param name="spectrogram">The flight's spectrogram.</param>
    /// <param name="rpm">Mean speed of the rotors over time, rpm.</param>
    /// <returns>Has no rows when the rotors never turn.</returns>
    public static SpeedFrequencyMap Of(Spectrogram spectrogram, Series rpm)
    {
        ArgumentNullException.ThrowIfNull(spectrogram);
        ArgumentNullException.ThrowIfNull(rpm);
        SortedDictionary<int, (double[] Sum, int Windows)> bins = [];
        for (int w = 0; w < spectrogram.TimeS.Length; w++)
        {
            double speed = rpm.At(spectrogram.TimeS[w]);
            if (!(speed > BinRpm))
            {
                continue;
            }

            int bin = (int)(speed / BinRpm);
            (double[] sum, int windows) = bins.GetValueOrDefault(bin, (new double[spectrogram.Bins], 0));
            for (int k = 0; k < sum.Length; k++)
            {
                sum[k] += spectrogram.Density[w][k];
            }

            bins[bin] = (sum, windows + 1);
        }

        return new()
        {
            Rpm = [.. bins.Keys.Select(b => (b + 0.5) * BinRpm)],
            ResolutionHz = spectrogram.ResolutionHz,
            Density = [.. bins.Values.Select(b => Array.ConvertAll(b.Sum, v => v / b.Windows))],
            Windows = [.. bins.Values.Select(b => b.Windows)],
        };
    }
}
