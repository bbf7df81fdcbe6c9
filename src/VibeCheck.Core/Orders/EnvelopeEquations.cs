using System.Numerics;
using System.Runtime.Intrinsics;

namespace VibeCheck.Core.Orders;

/// <summary>The normal equations of lines that are fitted together, and their solution. Everything but what goes out stands in units of the
/// noise of an axis, so that one matrix serves all three.</summary>
internal sealed class EnvelopeEquations
{
    /// <summary>Variance of a line with speed and with time to begin with, share of its square.</summary>
    private const double FirstWithSpeed = 0.05;
    private const double FirstWithTime = 0.01;

    /// <summary>Least variance, in units of the noise.</summary>
    private const double LeastVariance = 1e-12;

    /// <summary>Holds the constant, which only the data know.</summary>
    private const double DiagonalLoading = 1e-9;

    private readonly DemodulatedSegment _tracked;
    private readonly LinearSplineBasis[] _bases;
    private readonly double[] _weights;
    private readonly double[][] _hold;
    private readonly double[][] _grams;
    private readonly double[] _noise = new double[3];
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[][] _rightRe;
    private readonly double[][] _rightIm;

    /// <param name="tracked">Its sums done.</param>
    /// <param name="bases">One a rotor.</param>
    /// <param name="grams">Weighted products of each basis with itself.</param>
    /// <param name="lines">Which lines.</param>
    /// <param name="weights">How much a node counts.</param>
    /// <param name="hold">How far a line holds together along its angle, [line][node].</param>
    /// <param name="nodeNoise">Variance of a node's noise, (m/s²)², [3 · line + axis].</param>
    internal EnvelopeEquations(
        DemodulatedSegment tracked, LinearSplineBasis[] bases, double[][] grams, int[] lines, double[] weights, double[][] hold, double[] nodeNoise)
    {
        (_tracked, _bases, _grams, _weights, _hold, Lines) = (tracked, bases, grams, weights, hold, lines);
        Offsets = new int[lines.Length + 1];
        for (int i = 0; i < lines.Length; i++)
        {
            Offsets[i + 1] = Offsets[i] + Basis(i).Count;
        }

        int n = Unknowns;
        _re = new double[n * n];
        _im = new double[n * n];
        InverseRe = new double[n * n];
        InverseIm = new double[n * n];
        _rightRe = [new double[n], new double[n], new double[n]];
        _rightIm = [new double[n], new double[n], new double[n]];
        Re = [new double[n], new double[n], new double[n]];
        Im = [new double[n], new double[n], new double[n]];
        WithSpeed = new double[lines.Length];
        WithTime = new double[lines.Length];
        for (int axis = 0; axis < 3; axis++)
        {
            _noise[axis] = lines.Average(l => nodeNoise[3 * l + axis]);
        }
    }

    /// <summary>Indices of the lines.</summary>
    internal int[] Lines { get; }

    /// <summary>First unknown of each line, then their number.</summary>
    internal int[] Offsets { get; }

    internal int Unknowns => Offsets[^1];

    /// <summary>Whether the equations could be solved; if not, nothing is known of the lines.</summary>
    internal bool IsSolved { get; private set; } = true;

    /// <summary>Solution, [axis][unknown], in units of the noise.</summary>
    internal double[][] Re { get; }

    internal double[][] Im { get; }

    /// <summary>Variance of the solution within each line, by rows of all unknowns; the same for every axis in units of its noise.</summary>
    internal double[] InverseRe { get; }

    internal double[] InverseIm { get; }

    /// <summary>Variance of each line's course with speed, (m/s²)² peak, mean over axes.</summary>
    internal double[] WithSpeed { get; }

    internal double[] WithTime { get; }

    internal double Noise(int axis) => _noise[axis];

    internal LinearSplineBasis Basis(int at) => _bases[_tracked.Lines[Lines[at]].Rotor];

    /// <summary>Sums the equations and solves them.</summary>
    internal void Solve(int rounds, double[]? withSpeed, double[]? withTime)
    {
        Sum();
        double unit = (_noise[0] + _noise[1] + _noise[2]) / 3;
        for (int i = 0; i < Lines.Length; i++)
        {
            double level = Level(i);
            WithSpeed[i] = withSpeed is null ? FirstWithSpeed * level : withSpeed[Lines[i]] / unit;
            WithTime[i] = withTime is null || withTime[Lines[i]] == 0 ? FirstWithTime * level : withTime[Lines[i]] / unit;
        }

        using var solver = new HermitianSolver(Unknowns);
        double[] re = new double[_re.Length];
        for (int round = 0; round < rounds; round++)
        {
            SolveOnce(solver, re);
        }

        for (int i = 0; i < Lines.Length; i++)
        {
            WithSpeed[i] *= unit;
            WithTime[i] *= unit;
        }
    }

    /// <summary>Variance of the solution that a line would have without neighbours, by rows of its own unknowns.</summary>
    internal (double[] Re, double[] Im) InverseAlone(int at)
    {
        int from = Offsets[at], count = Offsets[at + 1] - from, n = Unknowns;
        double[] re = new double[count * count], im = new double[count * count], outRe = new double[count * count], outIm = new double[count * count];
        for (int r = 0; r < count; r++)
        {
            _re.AsSpan((from + r) * n + from, count).CopyTo(re.AsSpan(r * count));
            _im.AsSpan((from + r) * n + from, count).CopyTo(im.AsSpan(r * count));
        }

        double unit = (_noise[0] + _noise[1] + _noise[2]) / 3;
        AddPrior(Basis(at), WithSpeed[at] / unit, WithTime[at] / unit, 0, count, re);
        using var solver = new HermitianSolver(count);
        solver.Factor(re, im, count);
        solver.InvertBlocks([0, count], outRe, outIm);
        return (outRe, outIm);
    }

    /// <summary>Phasors at every node, m/s².</summary>
    internal void FillCourses(Complex[][] courses)
    {
        for (int i = 0; i < Lines.Length; i++)
        {
            for (int axis = 0; axis < 3; axis++)
            {
                FillCourse(i, axis, courses[3 * Lines[i] + axis]);
            }
        }
    }

    private void FillCourse(int at, int axis, Complex[] course)
    {
        LinearSplineBasis basis = Basis(at);
        ReadOnlySpan<double> re = Re[axis].AsSpan(Offsets[at], basis.Count), im = Im[axis].AsSpan(Offsets[at], basis.Count);
        double unit = Math.Sqrt(_noise[axis]);
        ReadOnlySpan<int> first = basis.First;
        ReadOnlySpan<Vector128<double>> shares = basis.Shares;
        for (int k = 0, p = 0; k < course.Length; k++)
        {
            double sumRe = re[0], sumIm = im[0];
            for (int end = p + basis.Pairs; p < end; p++)
            {
                sumRe += Vector128.Dot(shares[p], Vector128.Create(re[first[p]..]));
                sumIm += Vector128.Dot(shares[p], Vector128.Create(im[first[p]..]));
            }

            course[k] = new Complex(unit * sumRe, unit * sumIm);
        }
    }

    private void SolveOnce(HermitianSolver solver, double[] re)
    {
        _re.CopyTo(re, 0);
        for (int i = 0; i < Lines.Length; i++)
        {
            AddPrior(Basis(i), WithSpeed[i], WithTime[i], Offsets[i], Unknowns, re);
        }

        if (!solver.Factor(re, _im, Unknowns))
        {
            IsSolved = false;
            return;
        }

        solver.InvertBlocks(Offsets, InverseRe, InverseIm);
        for (int axis = 0; axis < 3; axis++)
        {
            _rightRe[axis].CopyTo(Re[axis], 0);
            _rightIm[axis].CopyTo(Im[axis], 0);
            solver.Solve(Re[axis], Im[axis]);
        }

        for (int i = 0; i < Lines.Length; i++)
        {
            LinearSplineBasis basis = Basis(i);
            WithSpeed[i] = Expected(basis.SpeedInverse, basis.SpeedCount, Offsets[i] + 1);
            WithTime[i] = basis.TimeCount == 0 ? 0 : Expected(basis.TimeInverse, basis.TimeCount, Offsets[i] + 1 + basis.SpeedCount);
        }
    }

    private void Sum()
    {
        double[] response = new double[_weights.Length];
        var products = new Complex[_weights.Length];
        for (int i = 0; i < Lines.Length; i++)
        {
            for (int j = 0; j < i; j++)
            {
                FillProducts(Lines[i], Lines[j], response, products);
                AddOverlap(i, j, products);
            }

            AddOwn(i);
            for (int axis = 0; axis < 3; axis++)
            {
                Weigh(i, axis);
            }
        }
    }

    /// <summary>conj(own unit) · its unit at every node, weighted.</summary>
    private void FillProducts(int line, int other, double[] response, Complex[] products)
    {
        _tracked.Response(line, other, 0, response);
        double[] own = _hold[line], its = _hold[other];
        for (int k = 0; k < response.Length; k++)
        {
            response[k] *= _weights[k] * own[k] * its[k];
        }

        PhasorProducts.Fill(response, _tracked.Units[line].AsSpan(0, response.Length), _tracked.Units[other].AsSpan(0, response.Length), products);
    }

    private void AddOverlap(int i, int j, ReadOnlySpan<Complex> products)
    {
        LinearSplineBasis own = Basis(i), its = Basis(j);
        ReadOnlySpan<int> rows = own.First, columns = its.First;
        ReadOnlySpan<Vector128<double>> x = own.Shares, y = its.Shares;
        int n = Unknowns, from = Offsets[i] * n + Offsets[j], pairs = own.Pairs;
        for (int k = 0; k < products.Length; k++)
        {
            for (int p = k * pairs; p < (k + 1) * pairs; p++)
            {
                Vector128<double> re = products[k].Real * x[p], im = products[k].Imaginary * x[p];
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
        LinearSplineBasis basis = Basis(i);
        double[] gram = _grams[_tracked.Lines[Lines[i]].Rotor];
        for (int r = 0; r < basis.Count; r++)
        {
            gram.AsSpan(r * basis.Count, basis.Count).CopyTo(_re.AsSpan((Offsets[i] + r) * Unknowns + Offsets[i]));
        }
    }

    private void Weigh(int at, int axis)
    {
        LinearSplineBasis basis = Basis(at);
        Complex[] sums = _tracked.Sums[3 * Lines[at] + axis];
        double[] hold = _hold[Lines[at]];
        Span<double> re = _rightRe[axis].AsSpan(Offsets[at], basis.Count), im = _rightIm[axis].AsSpan(Offsets[at], basis.Count);
        ReadOnlySpan<int> first = basis.First;
        ReadOnlySpan<Vector128<double>> shares = basis.Shares;
        double scale = 1 / Math.Sqrt(_noise[axis]);
        for (int k = 0, p = 0; k < sums.Length; k++)
        {
            double w = scale * _weights[k] * hold[k], x = w * sums[k].Real, y = w * sums[k].Imaginary;
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
        double sum = 0, weight = _re[Offsets[at] * (Unknowns + 1)];
        for (int axis = 0; axis < 3; axis++)
        {
            double re = _rightRe[axis][Offsets[at]] / weight, im = _rightIm[axis][Offsets[at]] / weight;
            sum += (re * re + im * im) / 3;
        }

        return Math.Max(1, sum);
    }

    private static void AddPrior(LinearSplineBasis basis, double withSpeed, double withTime, int at, int n, double[] re)
    {
        re[at * (n + 1)] += DiagonalLoading;
        AddBlock(basis.SpeedInverse, basis.SpeedCount, 1 / Math.Max(LeastVariance, withSpeed), at + 1, n, re);
        AddBlock(basis.TimeInverse, basis.TimeCount, 1 / Math.Max(LeastVariance, withTime), at + 1 + basis.SpeedCount, n, re);
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
                double products = 3 * InverseRe[(at + r) * Unknowns + at + s];
                for (int axis = 0; axis < 3; axis++)
                {
                    products += Re[axis][at + r] * Re[axis][at + s] + Im[axis][at + r] * Im[axis][at + s];
                }

                sum += block[r * count + s] * products;
            }
        }

        return sum / (3 * count);
    }
}
