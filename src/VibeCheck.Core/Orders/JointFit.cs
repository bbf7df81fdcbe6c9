using System.Numerics;

namespace VibeCheck.Core.Orders;

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
    /// <param name="withGain">Whether to reckon what neighbours cost.</param>
    internal static WindowFits Of(DemodulatedSegment tracked, double seconds, double ridge, bool withGain = false)
    {
        WindowFits fits = Windows(tracked, seconds);
        int count = fits.Windows, parts = tracked.IsAlone ? Math.Clamp(count / 4, 1, Environment.ProcessorCount) : 1;
        Parallel.For(0, parts, tracked.Threads, part =>
        {
            using var worker = new Worker(fits, ridge, withGain);
            for (int w = part * count / parts; w < (part + 1) * count / parts; w++)
            {
                worker.Fit(w);
            }
        });
        return fits;
    }

    /// <summary>Windows with half overlap over a stretch, nothing fitted yet.</summary>
    private static WindowFits Windows(DemodulatedSegment tracked, double seconds)
    {
        DetrendedSegment stretch = tracked.Stretch;
        int length = Math.Min(stretch.Blocks, Math.Max(4, 2 * (int)Math.Round(seconds / stretch.NodeS / 2)));
        int count = Math.Max(1, (int)Math.Ceiling((stretch.Blocks - length) / (length / 2.0) - 0.25) + 1);
        int[] first = new int[count];
        for (int w = 0; w < count; w++)
        {
            first[w] = count == 1 ? 0 : (int)Math.Round((double)w * (stretch.Blocks - length) / (count - 1));
        }

        return new WindowFits(tracked, length, first);
    }

    /// <summary>sinc², what the nodes' triangle leaves of a line that far off.</summary>
    internal static double NodeResponse(double offsetHz, double nodeS)
    {
        double x = Math.PI * offsetHz * nodeS;
        double sinc = Math.Abs(x) < 1e-6 ? 1 : Math.Sin(x) / x;
        return sinc * sinc;
    }

    /// <summary>Fits windows one after the other in its own memory.</summary>
    private sealed class Worker : IDisposable
    {
        private readonly WindowFits _fits;
        private readonly double _ridge;
        private readonly bool _withGain;
        private readonly IReadOnlyList<Line> _lines;
        private readonly double[] _hz;
        private readonly double[] _sorted;
        private readonly int[] _byHz;
        private readonly double[] _matrixRe;
        private readonly double[] _matrixIm;
        private readonly double[] _re;
        private readonly double[] _im;
        private readonly HermitianSolver _solver;
        private readonly double[] _response;

        internal Worker(WindowFits fits, double ridge, bool withGain)
        {
            _fits = fits;
            _ridge = ridge;
            _withGain = withGain;
            _lines = fits.Tracked.Lines;
            int lines = _lines.Count;
            _hz = new double[lines];
            _sorted = new double[lines];
            _byHz = new int[lines];
            _matrixRe = new double[lines * lines];
            _matrixIm = new double[lines * lines];
            _re = new double[lines];
            _im = new double[lines];
            _solver = new HermitianSolver(lines);
            _response = new double[fits.Length + 1];
        }

        public void Dispose() => _solver.Dispose();

        internal void Fit(int window)
        {
            int from = _fits.FirstNodes[window];
            for (int l = 0; l < _lines.Count; l++)
            {
                _sorted[l] = _hz[l] = _lines[l].ApparentHz(_fits.Tracked.RotorHz(_lines[l].Rotor, from, from + _fits.Length));
                _byHz[l] = l;
            }

            Array.Sort(_sorted, _byHz);
            int begin = 0;
            for (int i = 1; i <= _byHz.Length; i++)
            {
                if (i == _byHz.Length || _sorted[i] - _sorted[i - 1] > ReachHz)
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
            if (!_solver.Factor(_matrixRe, _matrixIm, n))
            {
                return;
            }

            if (_withGain)
            {
                _solver.InvertBlocks([.. Enumerable.Range(0, n + 1)], _matrixRe, _matrixIm);
                for (int i = 0; i < n; i++)
                {
                    _fits.Gain(chain[i], window) = _matrixRe[i * (n + 1)];
                }
            }

            Span<double> re = _re.AsSpan(0, n), im = _im.AsSpan(0, n);
            for (int axis = 0; axis < 3; axis++)
            {
                for (int i = 0; i < n; i++)
                {
                    (re[i], im[i]) = Weigh(_fits.Tracked.Sums[3 * chain[i] + axis], window);
                    _fits.Phasors(chain[i], window)[axis] = new Complex(re[i], im[i]);
                }

                _solver.Solve(re, im);
                for (int i = 0; i < n; i++)
                {
                    Complex before = _fits.Phasors(chain[i], window)[axis];
                    _fits.Explained(chain[i], window)[axis] = re[i] * before.Real + im[i] * before.Imaginary;
                    _fits.Phasors(chain[i], window)[axis] = new Complex(re[i], im[i]);
                }
            }
        }

        private void FillMatrix(int window, ReadOnlySpan<int> chain)
        {
            int n = chain.Length;
            for (int i = 0; i < n; i++)
            {
                for (int j = 0; j <= i; j++)
                {
                    bool meet = Math.Abs(_hz[chain[j]] - _hz[chain[i]]) <= 2 * ReachHz;
                    (_matrixRe[i * n + j], _matrixIm[i * n + j]) = meet ? Overlap(chain[i], chain[j], window) : (0, 0);
                }

                _matrixRe[i * (n + 1)] += _ridge;
            }
        }

        private (double Re, double Im) Weigh(Complex[] sums, int window)
        {
            ReadOnlySpan<double> hann = _fits.Hann;
            ReadOnlySpan<Complex> nodes = sums.AsSpan(_fits.FirstNodes[window], hann.Length);
            double re = 0, im = 0;
            for (int b = 0; b < hann.Length; b++)
            {
                re += hann[b] * nodes[b].Real;
                im += hann[b] * nodes[b].Imaginary;
            }

            return (re * 2.0 / _fits.Length, im * 2.0 / _fits.Length);
        }

        /// <summary>Weighted products of two lines.</summary>
        private (double Re, double Im) Overlap(int line, int other, int window)
        {
            ReadOnlySpan<double> hann = _fits.Hann;
            int from = _fits.FirstNodes[window];
            ReadOnlySpan<Complex> a = _fits.Tracked.Units[line].AsSpan(from, hann.Length), b = _fits.Tracked.Units[other].AsSpan(from, hann.Length);
            _fits.Tracked.Response(line, other, from, _response);
            for (int k = 0; k < hann.Length; k++)
            {
                _response[k] *= hann[k];
            }

            Complex sum = PhasorProducts.Sum(_response, a, b);
            return (sum.Real * 2.0 / _fits.Length, sum.Imaginary * 2.0 / _fits.Length);
        }
    }
}
