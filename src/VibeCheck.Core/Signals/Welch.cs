namespace VibeCheck.Core.Signals;

/// <summary>Power spectral density by Welch's method: one-sided, mean subtracted each window, scaled by the window's energy.</summary>
/// <remarks>P. Welch, IEEE Trans. Audio Electroacoust. 15 (1967) 70-73. Bins between 0 and half the sample rate carry the
/// power of both sides; the first and the last bin stand alone and are not doubled.</remarks>
public static class Welch
{
    /// <summary>Density of one unbroken stretch of samples at k · rate / length, k = 0 .. length/2.</summary>
    /// <param name="samples">Samples, at least <paramref name="length"/>.</param>
    /// <param name="rateHz">Sample rate, Hz, above 0.</param>
    /// <param name="window">The window.</param>
    /// <param name="length">Samples a window, a power of two, 4 or more.</param>
    /// <param name="step">Samples from one window to the next, 1 or more; half the length is usual.</param>
    /// <returns>The unit of the samples squared per Hz.</returns>
    /// <exception cref="ArgumentException">Fewer samples than a window, or none that is finite.</exception>
    public static double[] Density(ReadOnlySpan<double> samples, double rateHz, Window window, int length, int step)
    {
        WelchAverage average = new(new WelchPlan(window, length, step, rateHz), []);
        average.Add(samples);
        return average.WindowCount > 0
            ? average.Density()
            : throw new ArgumentException($"must hold a window of {length} finite samples, has {samples.Length}", nameof(samples));
    }

    /// <summary>Degrees of freedom of an averaged density away from 0 and half the sample rate.</summary>
    /// <param name="window">The window's values.</param>
    /// <param name="step">Samples from one window to the next.</param>
    /// <param name="windowsPerRun">Windows in each unbroken stretch; stretches are independent of each other.</param>
    /// <returns>2K² / Σ_runs (K_r + 2 Σ_m (K_r - m) ρ_m), K the windows in all; 0 without a window.</returns>
    /// <remarks>Welch 1967; for one run this is ν = 2K / (1 + 2 Σ (1 - m/K) ρ_m) with ρ of <see cref="Window.PowerCorrelation"/>.</remarks>
    public static double DegreesOfFreedom(ReadOnlySpan<double> window, int step, IReadOnlyList<int> windowsPerRun)
    {
        ArgumentNullException.ThrowIfNull(windowsPerRun);
        double all = windowsPerRun.Sum(),
            spread = all;
        for (int m = 1; m * step < window.Length; m++)
        {
            double correlation = Window.PowerCorrelation(window, m * step);
            foreach (int windows in windowsPerRun)
            {
                spread += 2 * Math.Max(0, windows - m) * correlation;
            }
        }

        return all == 0 ? 0 : 2 * all * all / spread;
    }

    /// <summary>Windows that fit in a stretch: floor((N - M)/R) + 1, or 0.</summary>
    public static int WindowCount(int samples, int length, int step) => samples < length ? 0 : (samples - length) / step + 1;
}
