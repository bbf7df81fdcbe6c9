using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>The noise's share of a fitted squared phasor, read from the residual's own spectrum just beside each line: the noise of
/// an airframe is coloured, so what it is elsewhere does not count.</summary>
/// <remarks>Noise lifts a squared amplitude fitted with Hann weights by 6σ²/N, that is by 2 · 1.5/T · density; the residual's
/// Hann periodogram some bins beside the line has that very expectation.</remarks>
internal static class LocalNoise
{
    // Bins of 1/T beside the line. The fit empties the line's own three bins.
    private static readonly int[] s_near = [-5, -4, -3, 3, 4, 5];

    // Further off, Hz, where the sidebands of a line that is not well followed have died away.
    private static readonly double[] s_farHz = [-7, -6, -5, -4, -3, 3, 4, 5, 6, 7];

    /// <summary>Mean over the windows of the noise's share, (m/s²)² peak, before the neighbours' gain; [3 · line + axis].</summary>
    internal static double[] Of(WindowFits fits, Residual residual) => Of(fits, residual, s_near, middle: false);

    /// <summary>The same from some hertz beside the line, middle one of several places: what is noise while angles are still off.</summary>
    internal static double[] Around(WindowFits fits, Residual residual) =>
        Of(fits, residual, [.. s_farHz.Select(hz => (int)Math.Round(hz * fits.Seconds))], middle: true);

    private static double[] Of(WindowFits fits, Residual residual, int[] bins, bool middle)
    {
        var share = new double[residual.Nodes.Length];
        int length = fits.Length;
        var turns = new Complex[bins.Length][];
        var response = new double[bins.Length];
        for (int k = 0; k < bins.Length; k++)
        {
            int bin = bins[k];
            turns[k] = [.. Enumerable.Range(0, length + 1).Select(j =>
                fits.Hann[j] * 2 / length * Complex.FromPolarCoordinates(1, -Math.Tau * bin * j / length))];
            double sinc2 = JointFit.NodeResponse(bin / fits.Seconds, fits.Tracked.Stretch.NodeS);
            response[k] = sinc2 * sinc2;
        }

        Parallel.For(0, share.Length, i =>
        {
            Span<double> sums = stackalloc double[bins.Length];
            sums.Clear();
            for (int w = 0; w < fits.Windows; w++)
            {
                ReadOnlySpan<Complex> nodes = residual.Nodes[i].AsSpan(fits.FirstNodes[w], length + 1);
                for (int k = 0; k < bins.Length; k++)
                {
                    sums[k] += Squared(nodes, turns[k]);
                }
            }

            double sum = 0;
            for (int k = 0; k < bins.Length; k++)
            {
                sums[k] /= response[k] * fits.Windows;
                sum += sums[k];
            }

            sums.Sort();
            share[i] = middle ? (sums[bins.Length / 2] + sums[(bins.Length - 1) / 2]) / 2 : sum / bins.Length;
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
