using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>The noise's share of a fitted squared phasor, read from the residual's own spectrum just beside each line: the noise of
/// an airframe is coloured, so what it is elsewhere does not count.</summary>
/// <remarks>Noise lifts a squared amplitude fitted with Hann weights by 6σ²/N, that is by 2 · 1.5/T · density; the residual's
/// Hann periodogram some bins beside the line has that very expectation.</remarks>
internal static class LocalNoise
{
    // Bins of 1/T beside the line. The fit empties the line's own three bins.
    private static readonly int[] s_bins = [-5, -4, -3, 3, 4, 5];

    /// <summary>Mean over the windows of the noise's share, (m/s²)² peak, before the neighbours' gain; [3 · line + axis].</summary>
    internal static double[] Of(WindowFits fits, Residual residual)
    {
        var share = new double[residual.Nodes.Length];
        int length = fits.Length;
        var turns = new Complex[s_bins.Length][];
        var response = new double[s_bins.Length];
        for (int k = 0; k < s_bins.Length; k++)
        {
            int bin = s_bins[k];
            turns[k] = [.. Enumerable.Range(0, length + 1).Select(j =>
                fits.Hann[j] * 2 / length * Complex.FromPolarCoordinates(1, -Math.Tau * bin * j / length))];
            double sinc2 = JointFit.NodeResponse(bin / fits.Seconds, fits.Tracked.Stretch.NodeS);
            response[k] = sinc2 * sinc2;
        }

        Parallel.For(0, share.Length, i =>
        {
            Span<double> sums = stackalloc double[s_bins.Length];
            sums.Clear();
            for (int w = 0; w < fits.Windows; w++)
            {
                ReadOnlySpan<Complex> nodes = residual.Nodes[i].AsSpan(fits.FirstNodes[w], length + 1);
                for (int k = 0; k < s_bins.Length; k++)
                {
                    sums[k] += Squared(nodes, turns[k]);
                }
            }

            double sum = 0;
            for (int k = 0; k < s_bins.Length; k++)
            {
                sum += sums[k] / response[k];
            }

            share[i] = sum / (s_bins.Length * fits.Windows);
        });
        return share;
    }

    private static double Squared(ReadOnlySpan<Complex> nodes, Complex[] turn)
    {
        double re = 0, im = 0;
        for (int j = 0; j < turn.Length; j++)
        {
            re += nodes[j].Real * turn[j].Real - nodes[j].Imaginary * turn[j].Imaginary;
            im += nodes[j].Real * turn[j].Imaginary + nodes[j].Imaginary * turn[j].Real;
        }

        return re * re + im * im;
    }
}
