using System.Numerics;
using System.Runtime.Intrinsics;
using Tuning = VibeCheck.Core.Orders.OrderTuning.Envelopes;

namespace VibeCheck.Core.Orders;

/// <summary>The normal equations of lines that are fitted together: a dense Hermitian matrix, in units of the noise of an axis, so
/// that one serves all three. Made, solved once and let go.</summary>
internal sealed class EnvelopeEquations
{
    private readonly DemodulatedSegment _demodulated;
    private readonly LinearSplineBasis[] _bases;
    private readonly double[] _weights;
    private readonly double[][] _coherence;
    private readonly double[][] _grams;
    private readonly int[] _lines;
    private readonly int[] _offsets;
    private readonly double[] _noise = new double[3];
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[][] _rightRe;
    private readonly double[][] _rightIm;
    private readonly double[][] _solutionRe;
    private readonly double[][] _solutionIm;
    private readonly double[] _inverseRe;
    private readonly double[] _inverseIm;
    private readonly double[] _withSpeed;
    private readonly double[] _withTime;
    private bool _isSolved = true;

    /// <param name="demodulated">The segment.</param>
    /// <param name="bases">One a rotor.</param>
    /// <param name="grams">Weighted products of each basis with itself.</param>
    /// <param name="lines">Which lines.</param>
    /// <param name="weights">How much an envelope sample counts.</param>
    /// <param name="coherence">Coherence of a line along its uncertain phase, [line][sample].</param>
    /// <param name="noise">Variance of an envelope sample's noise, (m/s²)², [3 · line + axis].</param>
    internal EnvelopeEquations(
        DemodulatedSegment demodulated,
        LinearSplineBasis[] bases,
        double[][] grams,
        int[] lines,
        double[] weights,
        double[][] coherence,
        double[] noise
    )
    {
        (_demodulated, _grams, _weights, _coherence, _lines) = (demodulated, grams, weights, coherence, lines);
        _bases = [.. lines.Select(l => bases[demodulated.Lines[l].Rotor])];
        _offsets = new int[lines.Length + 1];
        for (int i = 0; i < lines.Length; i++)
        {
            _offsets[i + 1] = _offsets[i] + _bases[i].Count;
        }

        int n = Unknowns;
        _re = new double[n * n];
        _im = new double[n * n];
        _inverseRe = new double[n * n];
        _inverseIm = new double[n * n];
        _rightRe = [new double[n], new double[n], new double[n]];
        _rightIm = [new double[n], new double[n], new double[n]];
        _solutionRe = [new double[n], new double[n], new double[n]];
        _solutionIm = [new double[n], new double[n], new double[n]];
        _withSpeed = new double[lines.Length];
        _withTime = new double[lines.Length];
        for (int axis = 0; axis < 3; axis++)
        {
            _noise[axis] = lines.Average(l => noise[3 * l + axis]);
        }
    }

    internal int Unknowns => _offsets[^1];

    /// <summary>Sums the equations and solves them by expectation maximisation of the variances.</summary>
    /// <param name="rounds">Rounds of expectation maximisation.</param>
    /// <param name="withSpeed">Variance with speed to begin with, one a line of the segment; null for the usual.</param>
    /// <param name="withTime">Variance with time to begin with; 0 for the usual.</param>
    internal EnvelopeSolution Solve(int rounds, double[]? withSpeed, double[]? withTime)
    {
        Sum();
        double unit = (_noise[0] + _noise[1] + _noise[2]) / 3;
        for (int i = 0; i < _lines.Length; i++)
        {
            double level = Level(i);
            _withSpeed[i] = withSpeed is null ? Tuning.FirstVarianceWithSpeed * level : withSpeed[_lines[i]] / unit;
            _withTime[i] = withTime is null || withTime[_lines[i]] == 0 ? Tuning.FirstVarianceWithTime * level : withTime[_lines[i]] / unit;
        }

        using var solver = new HermitianSolver(Unknowns);
        double[] re = new double[_re.Length];
        for (int round = 0; round < rounds; round++)
        {
            SolveOnce(solver, re);
        }

        for (int i = 0; i < _lines.Length; i++)
        {
            _withSpeed[i] *= unit;
            _withTime[i] *= unit;
        }

        return new EnvelopeSolution
        {
            Lines = _lines,
            Bases = _bases,
            Offsets = _offsets,
            Noise = _noise,
            IsSolved = _isSolved,
            Re = _solutionRe,
            Im = _solutionIm,
            InverseRe = _inverseRe,
            InverseIm = _inverseIm,
            NormalRe = _re,
            NormalIm = _im,
            VarianceWithSpeed = _withSpeed,
            VarianceWithTime = _withTime,
        };
    }

    private void SolveOnce(HermitianSolver solver, double[] re)
    {
        _re.CopyTo(re, 0);
        for (int i = 0; i < _lines.Length; i++)
        {
            AddPrior(_bases[i], _withSpeed[i], _withTime[i], _offsets[i], Unknowns, re);
        }

        if (!solver.Factor(re, _im, Unknowns))
        {
            _isSolved = false;
            return;
        }

        solver.InvertBlocks(_offsets, _inverseRe, _inverseIm);
        for (int axis = 0; axis < 3; axis++)
        {
            _rightRe[axis].CopyTo(_solutionRe[axis], 0);
            _rightIm[axis].CopyTo(_solutionIm[axis], 0);
            solver.Solve(_solutionRe[axis], _solutionIm[axis]);
        }

        for (int i = 0; i < _lines.Length; i++)
        {
            LinearSplineBasis basis = _bases[i];
            _withSpeed[i] = Expected(basis.SpeedInverse, basis.SpeedCount, _offsets[i] + 1);
            _withTime[i] = basis.TimeCount == 0 ? 0 : Expected(basis.TimeInverse, basis.TimeCount, _offsets[i] + 1 + basis.SpeedCount);
        }
    }

    private void Sum()
    {
        double[] response = new double[_weights.Length];
        var products = new Complex[_weights.Length];
        for (int i = 0; i < _lines.Length; i++)
        {
            for (int j = 0; j < i; j++)
            {
                FillProducts(_lines[i], _lines[j], response, products);
                AddOverlap(i, j, products);
            }

            AddOwn(i);
            for (int axis = 0; axis < 3; axis++)
            {
                Weigh(i, axis);
            }
        }
    }

    /// <summary>conj(own unit) · its unit at every sample, weighted.</summary>
    private void FillProducts(int line, int other, double[] response, Complex[] products)
    {
        _demodulated.Response(line, other, 0, response);
        double[] own = _coherence[line],
            its = _coherence[other];
        for (int k = 0; k < response.Length; k++)
        {
            response[k] *= _weights[k] * own[k] * its[k];
        }

        ReadOnlySpan<Complex> unit = _demodulated.Units[line].AsSpan(0, response.Length);
        PhasorProducts.Fill(response, unit, _demodulated.Units[other].AsSpan(0, response.Length), products);
    }

    private void AddOverlap(int i, int j, ReadOnlySpan<Complex> products)
    {
        LinearSplineBasis own = _bases[i],
            its = _bases[j];
        ReadOnlySpan<int> rows = own.First,
            columns = its.First;
        ReadOnlySpan<Vector128<double>> x = own.Shares,
            y = its.Shares;
        int n = Unknowns,
            from = _offsets[i] * n + _offsets[j],
            pairs = own.Pairs;
        for (int k = 0; k < products.Length; k++)
        {
            for (int p = k * pairs; p < (k + 1) * pairs; p++)
            {
                Vector128<double> re = products[k].Real * x[p],
                    im = products[k].Imaginary * x[p];
                for (int q = k * pairs; q < (k + 1) * pairs; q++)
                {
                    int at = from + rows[p] * n + columns[q];
                    Vector128<double> shares = y[q];
                    LinearSplineBasis.Add(_re.AsSpan(at, 2), re[0] * shares);
                    LinearSplineBasis.Add(_im.AsSpan(at, 2), im[0] * shares);
                    LinearSplineBasis.Add(_re.AsSpan(at + n, 2), re[1] * shares);
                    LinearSplineBasis.Add(_im.AsSpan(at + n, 2), im[1] * shares);
                }
            }
        }

        LinearSplineBasis.AddConstants(_re, from, n, own, its);
        LinearSplineBasis.AddConstants(_im, from, n, own, its);
    }

    /// <summary>A line's products with itself are the same for every line of a rotor.</summary>
    private void AddOwn(int i)
    {
        LinearSplineBasis basis = _bases[i];
        double[] gram = _grams[_demodulated.Lines[_lines[i]].Rotor];
        for (int r = 0; r < basis.Count; r++)
        {
            gram.AsSpan(r * basis.Count, basis.Count).CopyTo(_re.AsSpan((_offsets[i] + r) * Unknowns + _offsets[i]));
        }
    }

    private void Weigh(int at, int axis)
    {
        LinearSplineBasis basis = _bases[at];
        Complex[] sums = _demodulated.Sums[3 * _lines[at] + axis];
        double[] coherence = _coherence[_lines[at]];
        Span<double> re = _rightRe[axis].AsSpan(_offsets[at], basis.Count),
            im = _rightIm[axis].AsSpan(_offsets[at], basis.Count);
        ReadOnlySpan<int> first = basis.First;
        ReadOnlySpan<Vector128<double>> shares = basis.Shares;
        double scale = 1 / Math.Sqrt(_noise[axis]);
        for (int k = 0, p = 0; k < sums.Length; k++)
        {
            double w = scale * _weights[k] * coherence[k],
                x = w * sums[k].Real,
                y = w * sums[k].Imaginary;
            re[0] += x;
            im[0] += y;
            for (int end = p + basis.Pairs; p < end; p++)
            {
                LinearSplineBasis.Add(re.Slice(first[p], 2), x * shares[p]);
                LinearSplineBasis.Add(im.Slice(first[p], 2), y * shares[p]);
            }
        }
    }

    /// <summary>Square of a line as its constant alone shows it.</summary>
    private double Level(int at)
    {
        double sum = 0,
            weight = _re[_offsets[at] * (Unknowns + 1)];
        for (int axis = 0; axis < 3; axis++)
        {
            double re = _rightRe[axis][_offsets[at]] / weight,
                im = _rightIm[axis][_offsets[at]] / weight;
            sum += (re * re + im * im) / 3;
        }

        return Math.Max(1, sum);
    }

    /// <summary>Adds the inverse of the knots' variances to the diagonal block of a line.</summary>
    internal static void AddPrior(LinearSplineBasis basis, double withSpeed, double withTime, int at, int n, double[] re)
    {
        re[at * (n + 1)] += Tuning.DiagonalLoading;
        AddBlock(basis.SpeedInverse, basis.SpeedCount, 1 / Math.Max(Tuning.LeastVariance, withSpeed), at + 1, n, re);
        AddBlock(basis.TimeInverse, basis.TimeCount, 1 / Math.Max(Tuning.LeastVariance, withTime), at + 1 + basis.SpeedCount, n, re);
    }

    private static void AddBlock(double[] block, int count, double scale, int at, int n, double[] re)
    {
        for (int r = 0; r < count; r++)
        {
            for (int s = 0; s < count; s++)
            {
                re[(at + r) * n + at + s] += scale * block[r * count + s];
            }
        }
    }

    /// <summary>The variance expected of some knots, given the data.</summary>
    private double Expected(double[] block, int count, int at)
    {
        double sum = 0;
        for (int r = 0; r < count; r++)
        {
            for (int s = 0; s < count; s++)
            {
                double products = 3 * _inverseRe[(at + r) * Unknowns + at + s];
                for (int axis = 0; axis < 3; axis++)
                {
                    double[] re = _solutionRe[axis],
                        im = _solutionIm[axis];
                    products += re[at + r] * re[at + s] + im[at + r] * im[at + s];
                }

                sum += block[r * count + s] * products;
            }
        }

        return sum / (3 * count);
    }
}
