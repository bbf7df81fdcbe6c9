using VibeCheck.Core.Signals;

namespace VibeCheck.Checks;

/// <summary>Published figures of windows. Harris: F. J. Harris, Proc. IEEE 66 (1978) 51-83, table 1. Heinzel: G. Heinzel, A. Rüdiger, R.
/// Schilling, Spectrum and spectral density estimation by the DFT, MPI Hannover 2002.</summary>
public sealed class WindowChecks
{
    public static TheoryData<string, double, double, double, double, double, double, double> Published =>
        new()
        {
            // Harris table 1: coherent gain, noise bandwidth (bins), loss half a bin off (dB), -3 dB width (bins), side lobe (dB), overlap
            // correlation at 50 and 75 % (%). Digits beyond the printed ones were computed with numpy.
            { "rectangular", 1, 1.0000, 3.9224, 0.8845, -13.3, 50.0, 75.0 },
            // Heinzel, appendix on windows, as quoted in the CMSIS-DSP library.
            { "hann", 0.5, 1.5000, 1.4236, 1.4382, -31.5, 16.67, 65.92 },
            // Heinzel, as above.
            { "hamming", 0.54, 1.3628, 1.7514, 1.3008, -42.7, 23.38, 70.69 },
            // Harris table 1.
            { "blackman", 0.42, 1.7268, 1.0989, 1.6409, -58.1, 8.96, 56.67 },
            // Heinzel, as above.
            { "blackman-harris", 0.35875, 2.0044, 0.8256, 1.8962, -92.0, 3.76, 46.00 },
            // Heinzel, as above (Nuttall4c).
            { "nuttall", 0.3635819, 1.9761, 0.8506, 1.8687, -98.1, 4.18, 47.00 },
            // Computed with numpy from the coefficients in scipy's documentation of flattop.
            { "flat-top", 0.21557895, 3.7702, 0.0098, 3.7210, -93.6, -1.5, 4.6 },
            // Heinzel, as above.
            { "flat-top-hft116d", 1, 4.2186, 0.0028, 4.1579, -116.8, -0.2, -2.0 },
        };

    [Theory]
    [MemberData(nameof(Published))]
    public void A_window_has_its_published_figures(
        string name,
        double gain,
        double bandwidth,
        double lossDb,
        double widthBins,
        double sideLobeDb,
        double half,
        double threeQuarters
    )
    {
        Window window = Window.All.Single(w => w.Name == name);
        const int Length = 4096;
        double[] values = window.Values(Length);

        Assert.Equal(gain, values.Average(), 1e-9);
        Assert.Equal(bandwidth, window.NoiseBandwidthBins, 5e-5);
        Assert.Equal(bandwidth, Length * values.Sum(v => v * v) / Math.Pow(values.Sum(), 2), 5e-5);
        Assert.Equal(lossDb, -20 * Math.Log10(window.Response(0.5)), 5e-5);
        Assert.Equal(widthBins, WidthBins(window), 5e-5);

        // Printed to 0.1 dB, rounded or truncated.
        Assert.Equal(sideLobeDb, HighestSideLobeDb(window), 0.1);

        // Printed to 0.1 % for the flat-tops, 0.01 % for the others.
        double tolerance = name.StartsWith("flat", StringComparison.Ordinal) || name == "rectangular" ? 0.05 : 0.005;
        Assert.Equal(Math.Abs(half), 100 * Math.Sqrt(Window.PowerCorrelation(values, Length / 2)), tolerance);
        Assert.Equal(Math.Abs(threeQuarters), 100 * Math.Sqrt(Window.PowerCorrelation(values, Length / 4)), tolerance);
    }

    // Harris: the noise bandwidth of a sum of cosines is exactly 1 + ½ Σ (a_k/a_0)²; digits computed with numpy.
    [Theory]
    [InlineData("hann", 1.5)]
    [InlineData("hamming", 1.3628257888)]
    [InlineData("blackman", 1.7267573696)]
    [InlineData("blackman-harris", 2.0043529382)]
    [InlineData("flat-top", 3.7702464474)]
    public void Noise_bandwidth_of_a_cosine_sum_is_exact(string name, double bins) =>
        Assert.Equal(bins, Window.All.Single(w => w.Name == name).NoiseBandwidthBins, 1e-9);

    // Heinzel prints widths at exactly -3 dB; at half power Hann is 1.4406 bins wide, computed with numpy.
    [Fact]
    public void Half_power_width_of_Hann_is_a_little_more() => Assert.Equal(Math.Sqrt(0.5), Window.Hann.Response(1.4406 / 2), 5e-5);

    // Harris table 1 prints 1.78 dB for Hamming half a bin off: that is for the exact coefficients 25/46 and 21/46; with .54 and .46 it is
    // 1.75 (more digits computed with numpy). A sum of cosines is the sum of its terms: 25/46 - 21/46 cos is 4/46 rectangular plus 42/46
    // Hann.
    [Fact]
    public void Hamming_with_the_exact_coefficients_loses_what_Harris_printed()
    {
        double line = (4 * Window.Rectangular.Response(0.5) + 21 * Window.Hann.Response(0.5)) / 25;
        Assert.Equal(1.7782, -20 * Math.Log10(line), 5e-5);
        Assert.Equal(1.7514, -20 * Math.Log10(Window.Hamming.Response(0.5)), 5e-5);
    }

    // MathWorks, reference page of enbw: fs Σw²/(Σw)² of symmetric windows, Hz; the last one is in bins, so there fs is the length. Ours
    // are periodic: a periodic window of N - 1 points with its first point repeated at the end is the symmetric one of N.
    [Theory]
    [InlineData("hann", 128, 1000, 11.8110)]
    [InlineData("hann", 1000, 10_000, 15.0150)]
    [InlineData("flat-top", 10_000, 44_100, 16.6285)]
    [InlineData("hamming", 1000, 1000, 1.3638)]
    public void Symmetric_windows_have_their_own_noise_bandwidth(string name, int length, double rateHz, double bandwidth)
    {
        double[] periodic = Window.All.Single(w => w.Name == name).Values(length - 1);
        double[] symmetric = [.. periodic, periodic[0]];
        Assert.Equal(bandwidth, rateHz * symmetric.Sum(v => v * v) / Math.Pow(symmetric.Sum(), 2), 5e-5);
    }

    [Theory]
    [InlineData("hann")]
    [InlineData("hamming")]
    [InlineData("flat-top")]
    public void Values_agree_with_another_library(string name)
    {
        // FftSharp makes symmetric windows: those of N + 1 points without the last are the periodic ones of N.
        FftSharp.IWindow other = name switch
        {
            "hann" => new FftSharp.Windows.Hanning(),
            "hamming" => new FftSharp.Windows.Hamming(),
            _ => new FftSharp.Windows.FlatTop(),
        };
        double[] expected = other.Create(257)[..256],
            actual = Window.All.Single(w => w.Name == name).Values(256);
        for (int n = 0; n < actual.Length; n++)
        {
            Assert.Equal(expected[n], actual[n], 1e-12);
        }
    }

    private static double WidthBins(Window window)
    {
        // At exactly -3 dB, as Heinzel defines it, not at half power.
        double level = Math.Pow(10, -3.0 / 20),
            low = 0,
            high = 4;
        while (high - low > 1e-9)
        {
            double middle = (low + high) / 2;
            (low, high) = window.Response(middle) > level ? (middle, high) : (low, middle);
        }

        return low + high;
    }

    private static double HighestSideLobeDb(Window window)
    {
        // Flat-tops have ripple near the peak, so the main lobe ends at the first minimum below a hundredth.
        double previous = 1,
            at = 0;
        while (previous > 1e-2 || window.Response(at) <= previous)
        {
            previous = window.Response(at);
            at += 0.001;
        }

        // The next dozen bins: scipy's flat-top does not end at exactly 0, so its far side lobes rise again, to -93.0 dB.
        double highest = 0;
        for (; at < 12; at += 0.001)
        {
            highest = Math.Max(highest, window.Response(at));
        }

        return 20 * Math.Log10(highest);
    }
}
