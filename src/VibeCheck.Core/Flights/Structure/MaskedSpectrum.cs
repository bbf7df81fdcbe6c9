namespace VibeCheck.Core.Flights.Structure;

/// <summary>Spectral density of one axis in the hover, without the rotor lines of each window: the vibration of the rest of the
/// aircraft.</summary>
/// <param name="ResolutionHz">Spacing of the bins, Hz.</param>
/// <param name="Density">Density in bin k, (m/s²)²/Hz; NaN where there was always a rotor line.</param>
/// <param name="Windows">Number of windows averaged in each bin.</param>
internal sealed record MaskedSpectrum(double ResolutionHz, double[] Density, int[] Windows);
