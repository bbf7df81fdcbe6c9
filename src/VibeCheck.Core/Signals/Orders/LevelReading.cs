namespace VibeCheck.Core.Signals.Orders;

/// <summary>Sizes of all lines from the fitted windows of all stretches, for one window length.</summary>
internal static class LevelReading
{
    /// <summary>Share of a squared size that the model itself may miss, one sigma: amplitude changes within a window, interpolation of angles.</summary>
    internal const double ModelShare = 0.006;

    /// <summary>One level a line.</summary>
    internal static LineLevel[] Of(IReadOnlyList<TrackedStretch> all, double seconds)
    {
        int lines = all[0].Lines.Count;
        var fits = all.Select(t => JointFit.Of(t, seconds, ridge: 1e-9)).ToArray();
        var noises = fits.Select(f => LocalNoise.Of(f, Residual.Of(f))).ToArray();
        return [.. Enumerable.Range(0, lines).Select(line => Of(fits, noises, line, seconds))];
    }

    private static LineLevel Of(WindowFits[] fits, double[][] noises, int line, double seconds)
    {
        double[] axes = new double[3];
        var windows = new List<double>();
        double weights = 0, gains = 0, variance = 0;
        for (int f = 0; f < fits.Length; f++)
        {
            WindowFits fit = fits[f];
            double[] weight = Weights(fit);
            for (int w = 0; w < fit.Windows; w++)
            {
                double gain = fit.Gain(line, w), sum = 0;
                if (!double.IsFinite(gain))
                {
                    gains += weight[w] * 1e6;
                    weights += weight[w];
                    continue;
                }

                for (int axis = 0; axis < 3; axis++)
                {
                    System.Numerics.Complex c = fit.Phasors(line, w)[axis];
                    double noise = noises[f][3 * line + axis] * gain;
                    double square = (c.Real * c.Real + c.Imaginary * c.Imaginary - noise) / 2;
                    axes[axis] += weight[w] * square;
                    sum += square;
                    // Half overlap of Hann windows: phasors of neighbours correlate by 1/6, their noise powers by 1/36; and the noise
                    // level itself is read from six bins.
                    variance += weight[w] * weight[w] * (2 * Math.Max(0, 2 * square) * noise * (4.0 / 3) + noise * noise * (19.0 / 18 + 1.0 / 6)) / 4;
                }

                windows.Add(sum);
                weights += weight[w];
                gains += weight[w] * gain;
            }
        }

        for (int axis = 0; axis < 3; axis++)
        {
            axes[axis] /= weights;
        }

        double total = axes.Sum(), model = ModelShare * Math.Max(0, total);
        return new LineLevel
        {
            Square = total,
            Deviation = Math.Sqrt(variance / (weights * weights) + model * model),
            PerAxis = axes,
            PerWindow = [.. windows],
            Gain = gains / weights,
            WindowS = seconds,
        };
    }

    // Time that each window stands for: Hann windows with half overlap cover the inside evenly, the outer ones also the ends.
    private static double[] Weights(WindowFits fit)
    {
        double[] weight = new double[fit.Windows];
        for (int w = 0; w < fit.Windows; w++)
        {
            double left = w == 0 ? fit.FirstNodes[0] : (fit.Centre(w - 1) + fit.Centre(w)) / 2;
            double right = w == fit.Windows - 1 ? fit.FirstNodes[w] + fit.Length : (fit.Centre(w) + fit.Centre(w + 1)) / 2;
            weight[w] = right - left;
        }

        return weight;
    }
}
