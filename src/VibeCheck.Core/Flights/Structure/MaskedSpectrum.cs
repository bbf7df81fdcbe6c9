namespace VibeCheck.Core.Flights.Structure;

/// <summary>Spectral density of one axis in the hover, each window's rotor lines left out of
/// the mean: what the rest of the aircraft does.</summary>
/// <param name="ResolutionHz">Spacing of the bins, Hz.</param>
/// <param name="Density">Density in bin k, (m/s²)²/Hz; NaN where a rotor line always lay.</param>
/// <param name="Windows">Windows that each bin is the mean of.</param>
internal sealed record MaskedSpectrum(double ResolutionHz, double[] Density, int[] Windows);
