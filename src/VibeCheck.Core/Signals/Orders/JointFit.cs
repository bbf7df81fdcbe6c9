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

    /// <summary>Added to the diagonal for a slope against speed, which steady windows can't tell.</summary>
    private const double SlopeRidge = 0.02;

    /// <summary>Fits every window.</summary>
    /// <param name="tracked">The stretch, its sums done.</param>
    /// <param name="seconds">Window length aimed at, s; a shorter stretch is one window.</param>
    /// <param name="terms">1, or 2 for phasors that go with speed.</param>
    /// <param name="ridge">Added to the diagonal (which is 1): keeps lines that can't be parted from blowing up.</param>
    internal static WindowFits Of(TrackedStretch tracked, double seconds, int terms, double ridge)
    {
        Stretch stretch = tracked.Stretch;
        int length = Math.Min(stretch.Blocks, Math.Max(4, 2 * (int)Math.Round(seconds / stretch.NodeS / 2)));
        int count = Math.Max(1, (int)Math.Ceiling((stretch.Blocks - length) / (length / 2.0) - 0.25) + 1);
        int[] first = new int[count];
        for (int w = 0; w < count; w++)
        {
            first[w] = count == 1 ? 0 : (int)Math.Round((double)w * (stretch.Blocks - length) / (count - 1));
        }

        var fits = new WindowFits(tracked, terms, length, first);
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

    /// <summary>Fits windows one after the other in its own memory.</summary>
    private sealed class Worker
    {
        private readonly WindowFits _fits;
        private readonly double _ridge;
        private readonly int _terms;
        private readonly IReadOnlyList<Line> _lines;
        private readonly double[] _hz;
        private readonly double[] _sorted;
        private readonly int[] _byHz;
        private readonly Complex[] _matrix;
        private readonly Complex[] _inverse;
        private readonly Complex[] _right;
        private readonly Complex[] _before;
        private readonly HermitianSolver _solver;
        private readonly double[] _re;
        private readonly double[] _im;
        private readonly double[] _response;

        internal Worker(WindowFits fits, double ridge)
        {
            _fits = fits;
            _ridge = ridge;
            _terms = fits.Terms;
            _lines = fits.Tracked.Lines;
            int lines = _lines.Count, unknowns = lines * _terms;
            _hz = new double[lines];
            _sorted = new double[lines];
            _byHz = new int[lines];
            _matrix = new Complex[unknowns * unknowns];
            _inverse = new Complex[unknowns * unknowns];
            _right = new Complex[unknowns];
            _before = new Complex[unknowns];
            _solver = new HermitianSolver(unknowns);
            _re = new double[fits.Length + 1];
            _im = new double[fits.Length + 1];
            _response = new double[fits.Length + 1];
        }

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
            int n = chain.Length * _terms;
            FillMatrix(window, chain, n);
            if (!_solver.Factor(_matrix, n))
            {
                foreach (int line in chain)
                {
                    _fits.Gain(line, window) = double.PositiveInfinity;
                }

                return;
            }

            _solver.Invert(_inverse);
            for (int axis = 0; axis < 3; axis++)
            {
                for (int i = 0; i < chain.Length; i++)
                {
                    Weigh(_fits.Tracked.Sums[3 * chain[i] + axis], _lines[chain[i]].Rotor, window, _right.AsSpan(i * _terms, _terms));
                }

                _right.AsSpan(0, n).CopyTo(_before);
                _solver.Solve(_right.AsSpan(0, n));
                for (int i = 0; i < n; i++)
                {
                    _fits.Phasors(chain[i / _terms], i % _terms, window)[axis] = _right[i];
                    _fits.Explained(chain[i / _terms], window)[axis] += _right[i].Real * _before[i].Real + _right[i].Imaginary * _before[i].Imaginary;
                }
            }

            for (int i = 0; i < chain.Length; i++)
            {
                Read(window, chain[i], i, n);
            }
        }

        /// <summary>Mean square over the window, and how often noise counts in it.</summary>
        private void Read(int window, int line, int at, int n)
        {
            double first = 0, second = 0;
            if (_terms == 2)
            {
                (first, second) = Moments(_lines[line].Rotor, window);
            }

            int i = at * _terms;
            double gain = _inverse[i * n + i].Real;
            if (_terms == 2)
            {
                gain += 2 * first * _inverse[i * n + i + 1].Real + second * _inverse[(i + 1) * n + i + 1].Real;
            }

            _fits.Gain(line, window) = gain;
            Span<double> squares = _fits.Squares(line, window);
            for (int axis = 0; axis < 3; axis++)
            {
                Complex level = _fits.Phasors(line, 0, window)[axis];
                squares[axis] = level.Real * level.Real + level.Imaginary * level.Imaginary;
                if (_terms == 2)
                {
                    Complex slope = _fits.Phasors(line, 1, window)[axis];
                    squares[axis] += 2 * first * (level.Real * slope.Real + level.Imaginary * slope.Imaginary)
                        + second * (slope.Real * slope.Real + slope.Imaginary * slope.Imaginary);
                }
            }
        }

        private (double First, double Second) Moments(int rotor, int window)
        {
            ReadOnlySpan<double> hann = _fits.Hann, x = _fits.Tracked.Deviations[rotor].AsSpan(_fits.FirstNodes[window], hann.Length);
            double first = 0, second = 0;
            for (int b = 0; b < hann.Length; b++)
            {
                first += hann[b] * x[b];
                second += hann[b] * x[b] * x[b];
            }

            return (first * 2 / _fits.Length, second * 2 / _fits.Length);
        }

        private void FillMatrix(int window, ReadOnlySpan<int> chain, int n)
        {
            Span<Complex> block = stackalloc Complex[4];
            for (int i = 0; i < chain.Length; i++)
            {
                for (int j = 0; j <= i; j++)
                {
                    double apart = _hz[chain[j]] - _hz[chain[i]];
                    block.Clear();
                    if (Math.Abs(apart) <= 2 * ReachHz)
                    {
                        Overlap(chain[i], chain[j], window, block);
                    }

                    for (int p = 0; p < _terms; p++)
                    {
                        for (int q = 0; q < _terms; q++)
                        {
                            _matrix[(i * _terms + p) * n + j * _terms + q] = block[2 * p + q];
                        }
                    }
                }

                _matrix[i * _terms * (n + 1)] += _ridge;
                if (_terms == 2)
                {
                    _matrix[(i * _terms + 1) * (n + 1)] += _ridge + SlopeRidge;
                }
            }
        }

        private void Weigh(Complex[] sums, int rotor, int window, Span<Complex> right)
        {
            ReadOnlySpan<double> hann = _fits.Hann;
            ReadOnlySpan<Complex> nodes = sums.AsSpan(_fits.FirstNodes[window], hann.Length);
            double re = 0, im = 0, slopeRe = 0, slopeIm = 0;
            if (_terms == 1)
            {
                for (int b = 0; b < hann.Length; b++)
                {
                    re += hann[b] * nodes[b].Real;
                    im += hann[b] * nodes[b].Imaginary;
                }

                right[0] = new Complex(re, im) * (2.0 / _fits.Length);
                return;
            }

            ReadOnlySpan<double> x = _fits.Tracked.Deviations[rotor].AsSpan(_fits.FirstNodes[window], hann.Length);
            for (int b = 0; b < hann.Length; b++)
            {
                double r = hann[b] * nodes[b].Real, i = hann[b] * nodes[b].Imaginary;
                re += r;
                im += i;
                slopeRe += r * x[b];
                slopeIm += i * x[b];
            }

            right[0] = new Complex(re, im) * (2.0 / _fits.Length);
            right[1] = new Complex(slopeRe, slopeIm) * (2.0 / _fits.Length);
        }

        /// <summary>Weighted products of two lines, one row a term of the first.</summary>
        private void Overlap(int line, int other, int window, Span<Complex> block)
        {
            ReadOnlySpan<double> hann = _fits.Hann;
            int from = _fits.FirstNodes[window];
            ReadOnlySpan<Complex> a = _fits.Tracked.Units[line].AsSpan(from, hann.Length), b = _fits.Tracked.Units[other].AsSpan(from, hann.Length);
            _fits.Tracked.Response(line, other, from, _response);
            double re = 0, im = 0;
            for (int k = 0; k < hann.Length; k++)
            {
                double weight = hann[k] * _response[k];
                _re[k] = weight * (a[k].Real * b[k].Real + a[k].Imaginary * b[k].Imaginary);
                _im[k] = weight * (a[k].Real * b[k].Imaginary - a[k].Imaginary * b[k].Real);
                re += _re[k];
                im += _im[k];
            }

            double scale = 2.0 / _fits.Length;
            block[0] = new Complex(re, im) * scale;
            if (_terms == 1)
            {
                return;
            }

            ReadOnlySpan<double> x = _fits.Tracked.Deviations[_lines[line].Rotor].AsSpan(from, hann.Length);
            ReadOnlySpan<double> y = _fits.Tracked.Deviations[_lines[other].Rotor].AsSpan(from, hann.Length);
            double yRe = 0, yIm = 0, xRe = 0, xIm = 0, xyRe = 0, xyIm = 0;
            for (int k = 0; k < hann.Length; k++)
            {
                yRe += _re[k] * y[k];
                yIm += _im[k] * y[k];
                xRe += _re[k] * x[k];
                xIm += _im[k] * x[k];
                xyRe += _re[k] * x[k] * y[k];
                xyIm += _im[k] * x[k] * y[k];
            }

            block[1] = new Complex(yRe, yIm) * scale;
            block[2] = new Complex(xRe, xIm) * scale;
            block[3] = new Complex(xyRe, xyIm) * scale;
        }
    }
}
