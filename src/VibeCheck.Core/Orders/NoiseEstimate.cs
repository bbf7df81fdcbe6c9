namespace VibeCheck.Core.Orders;

/// <summary>Noise beside every line.</summary>
/// <param name="Variance">Variance of an envelope sample's noise, (m/s²)², [3 · line + axis].</param>
/// <param name="Excess">Power right beside a line over that some hertz off, the median over all lines: 1 where nothing but noise is
/// left.</param>
internal sealed record NoiseEstimate(double[] Variance, double Excess);
