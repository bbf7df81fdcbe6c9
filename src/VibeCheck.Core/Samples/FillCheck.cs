using VibeCheck.Core.Signals;

namespace VibeCheck.Core.Samples;

/// <summary>How well filled samples preserve the lines of a signal: the same number of known samples is hidden, filled, and compared with
/// the true values.</summary>
public static class FillCheck
{
    private const int Length = 4096,
        ShortestLength = 512;
    private const int MostChunks = 4;

    // Slow motion is always filled well and gives no information about the lines.
    private const double LowestHz = 15;

    // The strongest frequencies that hold this share of the power.
    private const double PowerShare = 0.6;

    /// <summary>Possible loss of the lines, dB; 0 where nothing was filled.</summary>
    /// <param name="filled">The signal with its unknown samples filled.</param>
    /// <param name="unknown">Which samples were unknown.</param>
    /// <param name="rateHz">Sample rate, Hz.</param>
    /// <param name="order">Order of the model for filling.</param>
    /// <returns>Null where the signal is too short.</returns>
    public static double? LossDb(ReadOnlySpan<double> filled, ReadOnlySpan<bool> unknown, double rateHz, int order)
    {
        int length = Length;
        while (length > filled.Length && length > ShortestLength)
        {
            length /= 2;
        }

        if (length > filled.Length)
        {
            return null;
        }

        var fill = new AutoregressiveFill(order);
        double same = 0,
            power = 0,
            lost = 0;
        int chunks = 0,
            step = Math.Max(length, (filled.Length - length) / MostChunks + 1);
        for (int from = 0; from + length <= filled.Length; from += step)
        {
            double share = Chunk(filled.Slice(from, length), unknown.Slice(from, length), rateHz, fill, ref same, ref power);
            lost += share;
            chunks++;
        }

        if (lost == 0)
        {
            return 0;
        }

        double gain = power > 0 ? Math.Clamp(same / power, 0, 1) : 0;
        return -20 * Math.Log10(Math.Max(1e-3, 1 - lost / chunks * (1 - gain)));
    }

    private static double Chunk(
        ReadOnlySpan<double> filled,
        ReadOnlySpan<bool> unknown,
        double rateHz,
        AutoregressiveFill fill,
        ref double same,
        ref double power
    )
    {
        int n = filled.Length,
            lost = 0,
            shift = n / 7;
        double[] hidden = filled.ToArray();
        double mean = 0;
        foreach (double value in filled)
        {
            mean += value / n;
        }

        bool[] tested = new bool[n];
        for (int i = 0; i < n; i++)
        {
            lost += unknown[i] ? 1 : 0;
            tested[i] = !unknown[i] && unknown[(i + shift) % n] && i > 0 && i < n - 1;
            hidden[i] = unknown[i] || tested[i] ? double.NaN : hidden[i];
        }

        if (lost == 0)
        {
            return 0;
        }

        (hidden[0], hidden[^1]) = (filled[0], filled[^1]);
        fill.Fill(hidden);
        var whole = new RealFft(n);
        var truth = new RealFft(n);
        var again = new RealFft(n);
        double[] window = Window.Hann.Values(n);
        for (int i = 0; i < n; i++)
        {
            whole.Samples[i] = window[i] * (filled[i] - mean);
            truth.Samples[i] = tested[i] ? window[i] * (filled[i] - mean) : 0;
            again.Samples[i] = tested[i] ? window[i] * (hidden[i] - mean) : 0;
        }

        whole.Transform();
        truth.Transform();
        again.Transform();
        Add(whole, truth, again, (int)Math.Ceiling(LowestHz / rateHz * n), ref same, ref power);
        return (double)lost / n;
    }

    private static void Add(RealFft whole, RealFft truth, RealFft again, int lowest, ref double same, ref double power)
    {
        double[] sizes = new double[whole.Bins];
        int[] bins = new int[whole.Bins];
        double all = 0;
        for (int k = 0; k < sizes.Length; k++)
        {
            bins[k] = k;
            sizes[k] = k < lowest ? 0 : -(whole.Re[k] * whole.Re[k] + whole.Im[k] * whole.Im[k]);
            all -= sizes[k];
        }

        Array.Sort(sizes, bins);
        double sum = 0;
        for (int i = 0; i < bins.Length && sum < PowerShare * all; i++)
        {
            int k = bins[i];
            sum -= sizes[i];
            same += again.Re[k] * truth.Re[k] + again.Im[k] * truth.Im[k];
            power += truth.Re[k] * truth.Re[k] + truth.Im[k] * truth.Im[k];
        }
    }
}
