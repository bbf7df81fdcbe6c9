using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>The normal equations of lines that are fitted together, and their solution. Everything but what goes out stands in units of the
/// noise of an axis, so that one matrix serves all three.</summary>
internal sealed class CourseChain
{
    /// <summary>Variance of a line with speed and with time to begin with, share of its square.</summary>
    private const double FirstWithSpeed = 0.05;
    private const double FirstWithTime = 0.01;

    /// <summary>Least variance, in units of the noise.</summary>
    private const double LeastVariance = 1e-12;

    /// <summary>Holds the constant, which only the data know.</summary>
    private const double Whisper = 1e-9;

    private readonly TrackedStretch _tracked;
    private readonly CourseBasis[] _bases;
    private readonly double[] _weights;
    private readonly double[][] _hold;
    private readonly double[] _noise = new double[3];
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[][] _rightRe;
    private readonly double[][] _rightIm;

    internal CourseChain(TrackedStretch tracked, CourseBasis[] bases, int[] lines, double[] weights, double[][] hold, double[] nodeNoise)
    {
        (_tracked, _bases, _weights, _hold, Lines) = (tracked, bases, weights, hold, lines);
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

    internal CourseBasis Basis(int at) => _bases[_tracked.Lines[Lines[at]].Rotor];

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
        CourseBasis basis = Basis(at);
        ReadOnlySpan<double> re = Re[axis].AsSpan(Offsets[at], basis.Count), im = Im[axis].AsSpan(Offsets[at], basis.Count);
        double unit = Math.Sqrt(_noise[axis]);
        int width = basis.Width;
        for (int k = 0; k < course.Length; k++)
        {
            ReadOnlySpan<int> index = basis.IndexAt(k);
            ReadOnlySpan<double> value = basis.ValueAt(k);
            double sumRe = 0, sumIm = 0;
            for (int r = 0; r < width; r++)
            {
                sumRe += value[r] * re[index[r]];
                sumIm += value[r] * im[index[r]];
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
            CourseBasis basis = Basis(i);
            WithSpeed[i] = Expected(basis.SpeedInverse, basis.SpeedCount, Offsets[i] + 1);
            WithTime[i] = basis.TimeCount == 0 ? 0 : Expected(basis.TimeInverse, basis.TimeCount, Offsets[i] + 1 + basis.SpeedCount);
        }
    }

    private void Sum()
    {
        double[] re = new double[_weights.Length], im = new double[_weights.Length], response = new double[_weights.Length];
        for (int i = 0; i < Lines.Length; i++)
        {
            for (int j = 0; j <= i; j++)
            {
                Products(Lines[i], Lines[j], response, re, im);
                AddOverlap(i, j, re, im);
            }

            for (int axis = 0; axis < 3; axis++)
            {
                Weigh(i, axis);
            }
        }
    }

    /// <summary>conj(own unit) · its unit at every node, weighted.</summary>
    private void Products(int line, int other, double[] response, double[] re, double[] im)
    {
        if (line == other)
        {
            _weights.CopyTo(re, 0);
            Array.Clear(im);
            return;
        }

        _tracked.Response(line, other, 0, response);
        Complex[] a = _tracked.Units[line], b = _tracked.Units[other];
        double[] own = _hold[line], its = _hold[other];
        for (int k = 0; k < re.Length; k++)
        {
            double w = _weights[k] * response[k] * own[k] * its[k];
            re[k] = w * (a[k].Real * b[k].Real + a[k].Imaginary * b[k].Imaginary);
            im[k] = w * (a[k].Real * b[k].Imaginary - a[k].Imaginary * b[k].Real);
        }
    }

    private void AddOverlap(int i, int j, double[] re, double[] im)
    {
        CourseBasis own = Basis(i), its = Basis(j);
        int row = Offsets[i], column = Offsets[j], n = Unknowns;
        for (int k = 0; k < re.Length; k++)
        {
            ReadOnlySpan<int> rows = own.IndexAt(k), columns = its.IndexAt(k);
            ReadOnlySpan<double> x = own.ValueAt(k), y = its.ValueAt(k);
            for (int r = 0; r < rows.Length; r++)
            {
                double xr = x[r] * re[k], xi = x[r] * im[k];
                int at = (row + rows[r]) * n + column;
                for (int c = 0; c < columns.Length; c++)
                {
                    _re[at + columns[c]] += xr * y[c];
                    _im[at + columns[c]] += xi * y[c];
                }
            }
        }
    }

    private void Weigh(int at, int axis)
    {
        CourseBasis basis = Basis(at);
        Complex[] sums = _tracked.Sums[3 * Lines[at] + axis];
        double[] hold = _hold[Lines[at]];
        Span<double> re = _rightRe[axis].AsSpan(Offsets[at], basis.Count), im = _rightIm[axis].AsSpan(Offsets[at], basis.Count);
        double scale = 1 / Math.Sqrt(_noise[axis]);
        for (int k = 0; k < sums.Length; k++)
        {
            ReadOnlySpan<int> index = basis.IndexAt(k);
            ReadOnlySpan<double> value = basis.ValueAt(k);
            double w = scale * _weights[k] * hold[k], x = w * sums[k].Real, y = w * sums[k].Imaginary;
            for (int r = 0; r < index.Length; r++)
            {
                re[index[r]] += value[r] * x;
                im[index[r]] += value[r] * y;
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

    private static void AddPrior(CourseBasis basis, double withSpeed, double withTime, int at, int n, double[] re)
    {
        re[at * (n + 1)] += Whisper;
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
