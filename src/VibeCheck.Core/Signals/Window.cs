using System.Collections.Immutable;

namespace VibeCheck.Core.Signals;

/// <summary>A window that is a sum of cosines, w(n) = Σ (-1)^k a_k cos(2πkn/N), n = 0 .. N-1:
/// the periodic form, the one for spectra.</summary>
/// <remarks>Coefficients: Harris 1978 (Hann to Blackman-Harris); Nuttall 1981; Heinzel, Rüdiger and Schilling 2002 (HFT116D); the
/// five-term flat-top is the one of scipy. Sums of cosines have a closed transform, so every figure below is exact for a large N.</remarks>
public sealed class Window
{
    private readonly ImmutableArray<double> _terms;

    private Window(string name, params ReadOnlySpan<double> terms)
    {
        Name = name;
        _terms = [.. terms];
    }

    /// <summary>No weighting: the finest resolution and the worst leakage.</summary>
    public static Window Rectangular { get; } = new("rectangular", 1);

    /// <summary>The default: leakage falls fast, and half overlap loses little.</summary>
    public static Window Hann { get; } = new("hann", 0.5, 0.5);

    /// <summary>Hamming, coefficients 0.54 and 0.46.</summary>
    public static Window Hamming { get; } = new("hamming", 0.54, 0.46);

    /// <summary>Blackman, coefficients 0.42, 0.5 and 0.08.</summary>
    public static Window Blackman { get; } = new("blackman", 0.42, 0.5, 0.08);

    /// <summary>Four-term Blackman-Harris: side lobes at -92 dB.</summary>
    public static Window BlackmanHarris { get; } = new("blackman-harris", 0.35875, 0.48829, 0.14128, 0.01168);

    /// <summary>Nuttall's four-term window with side lobes at -98 dB.</summary>
    public static Window Nuttall { get; } = new("nuttall", 0.3635819, 0.4891775, 0.1365995, 0.0106411);

    /// <summary>Five-term flat-top: a line reads within 0.01 dB wherever it lies between bins.</summary>
    public static Window FlatTop { get; } = new("flat-top", 0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368);

    /// <summary>Flat-top HFT116D: side lobes at -117 dB, scaled to a coherent gain of 1.</summary>
    public static Window FlatTopHft116D { get; } = new("flat-top-hft116d", 1, 1.9575375, 1.4780705, 0.6367431, 0.1228389, 0.0066288);

    /// <summary>All windows, the default first.</summary>
    public static IReadOnlyList<Window> All { get; } =
    [Hann, Rectangular, Hamming, Blackman, BlackmanHarris, Nuttall, FlatTop, FlatTopHft116D];

    /// <summary>Name in lower case, for options.</summary>
    public string Name { get; }

    /// <summary>Equivalent noise bandwidth in bins, 1 + ½ Σ (a_k/a_0)².</summary>
    public double NoiseBandwidthBins
    {
        get
        {
            double sum = 0;
            for (int k = 1; k < _terms.Length; k++)
            {
                double ratio = _terms[k] / _terms[0];
                sum += ratio * ratio;
            }

            return 1 + sum / 2;
        }
    }

    /// <summary>The window's N values.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Fewer than one value requested.</exception>
    public double[] Values(int length)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(length, 1);
        double[] values = new double[length];
        for (int n = 0; n < length; n++)
        {
            double sum = _terms[0],
                sign = -1;
            for (int k = 1; k < _terms.Length; k++, sign = -sign)
            {
                sum += sign * _terms[k] * Math.Cos(2 * Math.PI * k * n / length);
            }

            values[n] = sum;
        }

        return values;
    }

    /// <summary>How high a line reads when it lies off the bin: the transform's magnitude over that on the bin. 1 on the bin.</summary>
    /// <param name="offBins">Distance from the bin, bins.</param>
    /// <remarks>Σ a_k/2 · (sinc(x - k) + sinc(x + k)) over a_0; exact as N grows, error of order 1/N² below that.</remarks>
    public double Response(double offBins)
    {
        double sum = _terms[0] * Sinc(offBins);
        for (int k = 1; k < _terms.Length; k++)
        {
            sum += _terms[k] / 2 * (Sinc(offBins - k) + Sinc(offBins + k));
        }

        return Math.Abs(sum / _terms[0]);
    }

    /// <summary>Correlation of the squared spectra of two windows that start <paramref name="step"/> samples apart:
    /// [Σ w(n) w(n + step) / Σ w²]² (Welch 1967).</summary>
    /// <param name="values">The window's values.</param>
    /// <param name="step">Samples between the starts, 1 or more; 0 correlation from the window's length on.</param>
    public static double PowerCorrelation(ReadOnlySpan<double> values, int step)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(step, 1);
        double squares = 0,
            products = 0;
        for (int n = 0; n < values.Length; n++)
        {
            squares += values[n] * values[n];
            products += n + step < values.Length ? values[n] * values[n + step] : 0;
        }

        double ratio = products / squares;
        return ratio * ratio;
    }

    /// <inheritdoc/>
    public override string ToString() => Name;

    private static double Sinc(double x) => x == 0 ? 1 : Math.Sin(Math.PI * x) / (Math.PI * x);
}
