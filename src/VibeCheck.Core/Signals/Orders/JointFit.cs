using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>Weighted least squares of all lines at once in Hann windows with half overlap.</summary>
/// <remarks>
/// The normal matrix holds the slowly turning phase differences of lines that stand near each other, summed over nodes; lines
/// further apart than <see cref="ReachHz"/> do not meet. Sines and cosines of a line itself part by the sample count.
/// </remarks>
internal static class JointFit
{
    /// <summary>Lines nearer than this are fitted together, Hz: wide enough that wandering lines do not cross unseen.</summary>
    internal const double ReachHz = 12;

    /// <summary>Fits every window.</summary>
    /// <param name="tracked">The stretch, its sums done.</param>
    /// <param name="seconds">Window length aimed at, s; a shorter stretch is one window.</param>
    /// <param name="ridge">Added to the diagonal (which is 1): keeps lines that can't be parted from blowing up.</param>
    internal static WindowFits Of(TrackedStretch tracked, double seconds, double ridge)
    {
        Stretch stretch = tracked.Stretch;
        int length = Math.Min(stretch.Blocks, Math.Max(4, 2 * (int)Math.Round(seconds / stretch.NodeS / 2)));
        int count = Math.Max(1, (int)Math.Ceiling((stretch.Blocks - length) / (length / 2.0) - 0.25) + 1);
        int[] first = new int[count];
        for (int w = 0; w < count; w++)
        {
            first[w] = count == 1 ? 0 : (int)Math.Round((double)w * (stretch.Blocks - length) / (count - 1));
        }

        var fits = new WindowFits(tracked, length, first);
        int parts = Math.Clamp(count / 4, 1, Environment.ProcessorCount);
        Parallel.For(0, parts, part =>
        {
            var worker = new Worker(fits, ridge);
            for (int w = part * count / parts; w < (part + 1) * count / parts; w++)
            {
                worker.Fit(w);
            }
        });
        return fits;
    }

    /// <summary>sinc², what the nodes' triangle leaves of a line that far off.</summary>
    internal static double NodeResponse(double offsetHz, double nodeS)
    {
        double x = Math.PI * offsetHz * nodeS;
        double sinc = Math.Abs(x) < 1e-6 ? 1 : Math.Sin(x) / x;
        return sinc * sinc;
    }

    private sealed class Worker(WindowFits fits, double ridge)
    {
        private readonly IReadOnlyList<Line> _lines = fits.Tracked.Lines;
        private readonly double[] _hz = new double[fits.Tracked.Lines.Count];
        private readonly int[] _byHz = new int[fits.Tracked.Lines.Count];
        private readonly Complex[] _matrix = new Complex[fits.Tracked.Lines.Count * fits.Tracked.Lines.Count];
        private readonly Complex[] _right = new Complex[fits.Tracked.Lines.Count];
        private readonly double[] _diagonal = new double[fits.Tracked.Lines.Count];
        private readonly HermitianSolver _solver = new(fits.Tracked.Lines.Count);

        internal void Fit(int window)
        {
            int from = fits.FirstNodes[window];
            for (int l = 0; l < _lines.Count; l++)
            {
                _hz[l] = _lines[l].ApparentHz(fits.Tracked.RotorHz(_lines[l].Rotor, from, from + fits.Length));
                _byHz[l] = l;
            }

            Array.Sort((double[])_hz.Clone(), _byHz);
            int begin = 0;
            for (int i = 1; i <= _byHz.Length; i++)
            {
                if (i == _byHz.Length || _hz[_byHz[i]] - _hz[_byHz[i - 1]] > ReachHz)
                {
                    FitTogether(window, _byHz.AsSpan(begin, i - begin));
                    begin = i;
                }
            }
        }

        private void FitTogether(int window, ReadOnlySpan<int> chain)
        {
            int n = chain.Length;
            FillMatrix(window, chain);
            if (!_solver.Factor(_matrix, n))
            {
                foreach (int line in chain)
                {
                    fits.Gain(line, window) = double.PositiveInfinity;
                }

                return;
            }

            _solver.InverseDiagonal(_diagonal, _right);
            for (int i = 0; i < n; i++)
            {
                fits.Gain(chain[i], window) = Math.Max(1, _diagonal[i]);
            }

            for (int axis = 0; axis < 3; axis++)
            {
                for (int i = 0; i < n; i++)
                {
                    _right[i] = Weighted(fits.Tracked.Sums[3 * chain[i] + axis], window);
                }

                _solver.Solve(_right.AsSpan(0, n));
                for (int i = 0; i < n; i++)
                {
                    fits.Phasors(chain[i], window)[axis] = _right[i];
                }
            }
        }

        private void FillMatrix(int window, ReadOnlySpan<int> chain)
        {
            int n = chain.Length;
            double nodeS = fits.Tracked.Stretch.NodeS;
            for (int i = 0; i < n; i++)
            {
                _matrix[i * n + i] = 1 + ridge;
                for (int j = 0; j < i; j++)
                {
                    double apart = _hz[chain[j]] - _hz[chain[i]];
                    _matrix[i * n + j] = Math.Abs(apart) > 2 * ReachHz
                        ? 0
                        : NodeResponse(apart, nodeS) * Overlap(fits.Tracked.Units[chain[i]], fits.Tracked.Units[chain[j]], window);
                }
            }
        }

        private Complex Weighted(Complex[] sums, int window)
        {
            ReadOnlySpan<double> hann = fits.Hann;
            ReadOnlySpan<Complex> nodes = sums.AsSpan(fits.FirstNodes[window], hann.Length);
            double re = 0, im = 0;
            for (int b = 0; b < hann.Length; b++)
            {
                re += hann[b] * nodes[b].Real;
                im += hann[b] * nodes[b].Imaginary;
            }

            return new Complex(re, im) * (2.0 / fits.Length);
        }

        private Complex Overlap(Complex[] one, Complex[] other, int window)
        {
            ReadOnlySpan<double> hann = fits.Hann;
            ReadOnlySpan<Complex> a = one.AsSpan(fits.FirstNodes[window], hann.Length), b = other.AsSpan(fits.FirstNodes[window], hann.Length);
            double re = 0, im = 0;
            for (int k = 0; k < hann.Length; k++)
            {
                re += hann[k] * (a[k].Real * b[k].Real + a[k].Imaginary * b[k].Imaginary);
                im += hann[k] * (a[k].Real * b[k].Imaginary - a[k].Imaginary * b[k].Real);
            }

            return new Complex(re, im) * (2.0 / fits.Length);
        }
    }
}
