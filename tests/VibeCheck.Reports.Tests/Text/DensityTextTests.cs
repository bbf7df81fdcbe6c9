using VibeCheck.Core.Signals;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Text;

public sealed class DensityTextTests
{
    // Chi-square distribution, ν = 28.521 (15 half-overlapped Hann windows), computed with scipy: -1.992 and +2.595 dB. The spectrum with
    // the fewest degrees of freedom is used.
    [Fact]
    public void The_widest_interval_of_the_spectra_is_given() =>
        Assert.Equal(
            "The true density lies within −2.0 to +2.6 dB of a line (95 % interval at any one frequency).",
            DensityText.Of([With(200), With(28.521), With(57)])
        );

    [Fact]
    public void Without_a_spectrum_the_text_is_empty() => Assert.Equal("", DensityText.Of([]));

    private static Spectrum With(double degrees) =>
        new()
        {
            Channel = "acc_x",
            Unit = "m/s²",
            ResolutionHz = 1,
            Density = [1, 1, 1],
            NoiseBandwidthBins = 1.5,
            DegreesOfFreedom = degrees,
        };
}
