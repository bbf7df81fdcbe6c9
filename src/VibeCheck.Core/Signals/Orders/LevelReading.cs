namespace VibeCheck.Core.Signals.Orders;

/// <summary>Sizes of all lines from the fitted windows of all stretches, for one window length.</summary>
internal static class LevelReading
{
    /// <summary>How far a line's square may differ from window to window by itself, one sigma, share: windows that neighbours spoil
    /// count less, but none counts for more than its time by more than this allows.</summary>
    private const double OwnScatter = 0.15;

    /// <summary>How well the noise under a line is known from the noise beside it, one sigma, share.</summary>
    private const double NoiseDoubt = 0.2;

    /// <summary>One level a line.</summary>
    /// <param name="all">Stretches with their angles refined.</param>
    /// <param name="seconds">Window length, s.</param>
    /// <param name="terms">Terms of a phasor.</param>
    /// <param name="withUnexplained">Whether to reckon what is left near the lines, too; 0 otherwise.</param>
    internal static LineLevel[] Of(IReadOnlyList<TrackedStretch> all, double seconds, int terms, bool withUnexplained)
    {
        int lines = all[0].Lines.Count;
        var fits = all.Select(t => JointFit.Of(t, seconds, terms, ridge: 1e-9)).ToArray();
        var residuals = fits.Select(Residual.Of).ToArray();
        var noises = fits.Select((f, i) => LocalNoise.Of(f, residuals[i])).ToArray();
        double[] unexplained = withUnexplained ? Unexplained(fits, residuals) : new double[lines];
        var levels = new LineLevel[lines];
        Parallel.For(0, lines, line => levels[line] = Of(fits, noises, line, seconds) with { Unexplained = unexplained[line], Explained = Explained(fits, noises, line) });
        return levels;
    }

    private static double Explained(WindowFits[] fits, double[][] noises, int line)
    {
        double sum = 0, time = 0;
        for (int f = 0; f < fits.Length; f++)
        {
            double[] times = Times(fits[f]);
            double noise = noises[f][3 * line] + noises[f][3 * line + 1] + noises[f][3 * line + 2];
            for (int w = 0; w < fits[f].Windows; w++)
            {
                Span<double> axes = fits[f].Explained(line, w);
                sum += times[w] * (axes[0] + axes[1] + axes[2] - fits[f].Terms * noise) / 2;
                time += times[w];
            }
        }

        return sum / time;
    }

    private static double[] Unexplained(WindowFits[] fits, Residual[] residuals)
    {
        double[] power = new double[fits[0].Tracked.Lines.Count];
        double seconds = fits.Sum(f => f.Tracked.Stretch.Seconds);
        for (int f = 0; f < fits.Length; f++)
        {
            double[] noise = LocalNoise.Around(fits[f], residuals[f]);
            double share = fits[f].Tracked.Stretch.Seconds / seconds;
            for (int i = 0; i < noise.Length; i++)
            {
                // A node holds 2/3 · 4σ²/S of white noise, a Hann window 6σ²/N.
                double nodeNoise = noise[i] * fits[f].Length * 4 / 9;
                power[i / 3] += share * Math.Max(0, MeanSquare(residuals[f].Nodes[i]) - nodeNoise) / 2;
            }
        }

        return power;
    }

    private static double MeanSquare(System.Numerics.Complex[] nodes)
    {
        double sum = 0;
        foreach (System.Numerics.Complex c in nodes)
        {
            sum += c.Real * c.Real + c.Imaginary * c.Imaginary;
        }

        return sum / nodes.Length;
    }

    private static LineLevel Of(WindowFits[] fits, double[][] noises, int line, double seconds)
    {
        var windows = new List<Window>();
        for (int f = 0; f < fits.Length; f++)
        {
            double[] times = Times(fits[f]);
            for (int w = 0; w < fits[f].Windows; w++)
            {
                if (double.IsFinite(fits[f].Gain(line, w)))
                {
                    windows.Add(Read(fits[f], noises[f], line, w, times[w]));
                }
            }
        }

        if (windows.Count == 0)
        {
            return new LineLevel { Square = 0, Deviation = double.PositiveInfinity, PerAxis = [0, 0, 0], PerWindow = [], Gain = double.PositiveInfinity, WindowS = seconds };
        }

        return Average(windows, fits[0].Terms, seconds);
    }

    private static Window Read(WindowFits fit, double[] noises, int line, int window, double time)
    {
        double gain = fit.Gain(line, window), variance = 0, floor = 0;
        double[] axes = new double[3];
        for (int axis = 0; axis < 3; axis++)
        {
            double noise = noises[3 * line + axis] * gain, square = fit.Squares(line, window)[axis] - noise;
            axes[axis] = square / 2;
            floor += noise / 2;
            // Half overlap of Hann windows: phasors of neighbours correlate by 1/6, their noise powers by 1/36; and the noise
            // level itself is read from six bins.
            variance += (2 * Math.Max(0, square) * noise * (4.0 / 3) + noise * noise * (19.0 / 18 + 1.0 / 6)) / 4;
        }

        return new Window(axes, time, variance, gain, floor);
    }

    private static LineLevel Average(List<Window> windows, int terms, double seconds)
    {
        double typical = Math.Max(0, Median([.. windows.Select(w => w.Square)])), noise = Median([.. windows.Select(w => w.Variance)]);
        double own = OwnScatter * OwnScatter * typical * typical + noise;
        double[] weights = [.. windows.Select(w => w.TimeS * own / (own + w.Variance))];
        double sum = weights.Sum(), time = windows.Sum(w => w.TimeS);
        double[] axes = new double[3];
        double variance = 0, gain = 0, floor = 0;
        for (int w = 0; w < weights.Length; w++)
        {
            double share = weights[w] / sum;
            for (int axis = 0; axis < 3; axis++)
            {
                axes[axis] += share * windows[w].PerAxis[axis];
            }

            double uneven = share - windows[w].TimeS / time;
            variance += share * share * windows[w].Variance + uneven * uneven * OwnScatter * OwnScatter * typical * typical;
            gain += share * windows[w].Gain;
            floor += share * windows[w].Noise;
        }

        return new LineLevel
        {
            Square = axes.Sum(),
            Deviation = Math.Sqrt(variance + NoiseDoubt * NoiseDoubt * floor * floor),
            PerAxis = axes,
            PerWindow = [.. windows.Select(w => w.Square)],
            Gain = gain / terms,
            WindowS = seconds,
        };
    }

    private static double Median(double[] values)
    {
        Array.Sort(values);
        return values[values.Length / 2];
    }

    // Time that each window stands for: Hann windows with half overlap cover the inside evenly, the outer ones also the ends.
    private static double[] Times(WindowFits fit)
    {
        double[] times = new double[fit.Windows];
        for (int w = 0; w < fit.Windows; w++)
        {
            double left = w == 0 ? fit.FirstNodes[0] : (fit.Centre(w - 1) + fit.Centre(w)) / 2;
            double right = w == fit.Windows - 1 ? fit.FirstNodes[w] + fit.Length : (fit.Centre(w) + fit.Centre(w + 1)) / 2;
            times[w] = right - left;
        }

        return times;
    }

    private sealed record Window(double[] PerAxis, double TimeS, double Variance, double Gain, double Noise)
    {
        internal double Square => PerAxis[0] + PerAxis[1] + PerAxis[2];
    }
}
