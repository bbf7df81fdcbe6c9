using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Flights.Lines;

/// <summary>Finds the peaks of the acceleration spectra and assigns them to their causes.</summary>
internal static class PeakNames
{
    private const double LowestHz = 5;
    private const int MostPerChannel = 12;

    /// <summary>Named peaks, channel by channel in rising frequency: the strongest dozen of each.</summary>
    /// <param name="spectra">Spectra over the hover.</param>
    /// <param name="lines">Frequencies of the rotor orders; null when no speed is known.</param>
    /// <param name="behaviour">Behaviour of a line at a frequency while speeds vary: stays, moves, or not known.</param>
    internal static IReadOnlyList<SpectralPeak> Of(IReadOnlyList<Spectrum> spectra, RotorLines? lines, Func<double, PeakKind> behaviour)
    {
        List<SpectralPeak> named = [];
        foreach (Spectrum spectrum in spectra.Where(s => s.Channel.StartsWith("acc_", StringComparison.Ordinal)))
        {
            IEnumerable<Peak> strongest = Peaks.Find(spectrum, LowestHz).OrderByDescending(p => p.Rms).Take(MostPerChannel);
            named.AddRange(strongest.OrderBy(p => p.Hz).Select(p => Name(p, spectrum, lines, behaviour)));
        }

        return named;
    }

    private static SpectralPeak Name(Peak peak, Spectrum spectrum, RotorLines? lines, Func<double, PeakKind> behaviour)
    {
        IReadOnlyList<RotorLine> near = lines?.Near(peak.Hz, 1.5 * spectrum.ResolutionHz) ?? [];
        return new()
        {
            Channel = spectrum.Channel,
            Hz = peak.Hz,
            Amplitude = peak.Rms,
            Unit = spectrum.Unit,
            Assigned = [.. near.OrderBy(l => Math.Abs(l.SeenHz - peak.Hz)).Select(l => new MotorOrder(l.MotorId, l.Order))],
            Kind = near.Count > 0 ? PeakKind.Rotor : behaviour(peak.Hz),
            FoldedFromHz = near.Count > 0 && near[0].Folded ? near.MinBy(l => Math.Abs(l.SeenHz - peak.Hz)).Hz : null,
        };
    }
}
