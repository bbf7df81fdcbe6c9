using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>The uncertainty of drawn spectra, as a sentence.</summary>
internal static class DensityText
{
    /// <summary>The 95 % interval of the spectrum with the fewest degrees of freedom; empty without spectra.</summary>
    internal static string Of(IEnumerable<Spectrum> drawn)
    {
        Spectrum? least = drawn.MinBy(s => s.DegreesOfFreedom);
        if (least is null)
        {
            return "";
        }

        Interval factors = least.Ci95Factors;
        Interval db = new(10 * Math.Log10(factors.Low), 10 * Math.Log10(factors.High));
        return $"The true density lies within {Format.SignedRange(db, 1)} dB of a line (95 % interval at any one frequency).";
    }
}
