using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Weighted least squares of all lines at once in Hann windows with half overlap.</summary>
/// <remarks>
/// The normal matrix holds the slowly varying phase differences of adjacent lines, summed over envelope samples; lines
/// further apart than <see cref="OrderTuning.Windows.ReachHz"/> do not meet. Sines and cosines of a line itself part by the sample count.
/// </remarks>
internal static class JointFit
{
    /// <summary>Fits every window.</summary>
    /// <param name="demodulated">The segment.</param>
    /// <param name="seconds">Window length aimed at, s; a shorter segment is one window.</param>
    /// <param name="loading">Added to the diagonal (which is 1): keeps lines that cannot be separated from blowing up.</param>
    /// <param name="withInflation">Whether to compute what neighbours cost.</param>
    internal static WindowFits Of(DemodulatedSegment demodulated, double seconds, double loading, bool withInflation = false)
    {
        var plan = WindowPlan.Of(demodulated.Segment, seconds);
        int count = plan.First.Length,
            parts = demodulated.Workspace.IsParallel ? Math.Clamp(count / 4, 1, Environment.ProcessorCount) : 1;
        int lines = demodulated.Lines.Count;
        var phasors = new Complex[3 * lines * count];
        double[] explained = new double[phasors.Length],
            inflation = new double[lines * count];
        Parallel.For(
            0,
            parts,
            demodulated.Workspace.Threads,
            part =>
            {
                using var worker = new Worker(demodulated, plan, loading, withInflation, (phasors, explained, inflation));
                for (int w = part * count / parts; w < (part + 1) * count / parts; w++)
                {
                    worker.Fit(w);
                    demodulated.Workspace.WindowFitted();
                }
            }
        );
        return new WindowFits(demodulated, plan, phasors, explained, inflation);
    }

    /// <summary>Fits windows one after the other in its own memory.</summary>
    private sealed class Worker : IDisposable
    {
        private readonly DemodulatedSegment _demodulated;
        private readonly WindowPlan _plan;
        private readonly double _loading;
        private readonly bool _withInflation;
        private readonly Complex[] _phasors;
        private readonly double[] _explained;
        private readonly double[] _inflation;
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

        internal Worker(
            DemodulatedSegment demodulated,
            WindowPlan plan,
            double loading,
            bool withInflation,
            (Complex[] Phasors, double[] Explained, double[] Inflation) results
        )
        {
            (_demodulated, _plan, _loading, _withInflation) = (demodulated, plan, loading, withInflation);
            (_phasors, _explained, _inflation) = results;
            _lines = demodulated.Lines;
            int lines = _lines.Count;
            _hz = new double[lines];
            _sorted = new double[lines];
            _byHz = new int[lines];
            _matrixRe = new double[lines * lines];
            _matrixIm = new double[lines * lines];
            _re = new double[lines];
            _im = new double[lines];
            _solver = new HermitianSolver(lines);
            _response = new double[plan.Length + 1];
        }

        public void Dispose() => _solver.Dispose();

        internal void Fit(int window)
        {
            int from = _plan.First[window];
            for (int l = 0; l < _lines.Count; l++)
            {
                _sorted[l] = _hz[l] = _lines[l].ApparentHz(_demodulated.Phases.MeanHz(_lines[l].Rotor, from, from + _plan.Length));
                _byHz[l] = l;
            }

            Array.Sort(_sorted, _byHz);
            int begin = 0;
            for (int i = 1; i <= _byHz.Length; i++)
            {
                if (i == _byHz.Length || _sorted[i] - _sorted[i - 1] > OrderTuning.Windows.ReachHz)
                {
                    FitTogether(window, _byHz.AsSpan(begin, i - begin));
                    begin = i;
                }
            }
        }

        private void FitTogether(int window, ReadOnlySpan<int> group)
        {
            int n = group.Length,
                windows = _plan.First.Length;
            FillMatrix(window, group);
            if (!_solver.Factor(_matrixRe, _matrixIm, n))
            {
                return;
            }

            if (_withInflation)
            {
                _solver.InvertBlocks([.. Enumerable.Range(0, n + 1)], _matrixRe, _matrixIm);
                for (int i = 0; i < n; i++)
                {
                    _inflation[group[i] * windows + window] = _matrixRe[i * (n + 1)];
                }
            }

            Span<double> re = _re.AsSpan(0, n),
                im = _im.AsSpan(0, n);
            for (int axis = 0; axis < 3; axis++)
            {
                for (int i = 0; i < n; i++)
                {
                    (re[i], im[i]) = Weigh(_demodulated.Sums[3 * group[i] + axis], window);
                    _phasors[3 * (group[i] * windows + window) + axis] = new Complex(re[i], im[i]);
                }

                _solver.Solve(re, im);
                for (int i = 0; i < n; i++)
                {
                    int at = 3 * (group[i] * windows + window) + axis;
                    Complex before = _phasors[at];
                    _explained[at] = re[i] * before.Real + im[i] * before.Imaginary;
                    _phasors[at] = new Complex(re[i], im[i]);
                }
            }
        }

        private void FillMatrix(int window, ReadOnlySpan<int> group)
        {
            int n = group.Length;
            for (int i = 0; i < n; i++)
            {
                for (int j = 0; j <= i; j++)
                {
                    bool meet = Math.Abs(_hz[group[j]] - _hz[group[i]]) <= 2 * OrderTuning.Windows.ReachHz;
                    (_matrixRe[i * n + j], _matrixIm[i * n + j]) = meet ? Overlap(group[i], group[j], window) : (0, 0);
                }

                _matrixRe[i * (n + 1)] += _loading;
            }
        }

        private (double Re, double Im) Weigh(Complex[] sums, int window)
        {
            ReadOnlySpan<double> hann = _plan.Hann;
            ReadOnlySpan<Complex> samples = sums.AsSpan(_plan.First[window], hann.Length);
            double re = 0,
                im = 0;
            for (int b = 0; b < hann.Length; b++)
            {
                re += hann[b] * samples[b].Real;
                im += hann[b] * samples[b].Imaginary;
            }

            return (re * 2.0 / _plan.Length, im * 2.0 / _plan.Length);
        }

        /// <summary>Weighted products of two lines.</summary>
        private (double Re, double Im) Overlap(int line, int other, int window)
        {
            ReadOnlySpan<double> hann = _plan.Hann;
            int from = _plan.First[window];
            ReadOnlySpan<Complex> a = _demodulated.Units[line].AsSpan(from, hann.Length);
            ReadOnlySpan<Complex> b = _demodulated.Units[other].AsSpan(from, hann.Length);
            _demodulated.Response(line, other, from, _response);
            for (int k = 0; k < hann.Length; k++)
            {
                _response[k] *= hann[k];
            }

            Complex sum = PhasorProducts.Sum(_response, a, b);
            return (sum.Real * 2.0 / _plan.Length, sum.Imaginary * 2.0 / _plan.Length);
        }
    }
}
