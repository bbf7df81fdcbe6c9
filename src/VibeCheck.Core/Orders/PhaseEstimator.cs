using System.Buffers;
using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Second correction of the rotor angles: the most likely course of all rotors' angle errors at once, node by node, given
/// the residual of the fit and errors that wander like a random walk.</summary>
/// <remarks>
/// One Gauss-Newton step on sum |residual|² / noise + sum (step of the error)² / (walk · time). The matrix is banded with as many
/// bands as rotors, so rotors of nearly equal speed are corrected together, at a cost linear in the length. The walk is the one
/// under which the data are likeliest (Laplace's approximation; the determinant comes with the factor).
/// </remarks>
internal static class PhaseEstimator
{
    private static readonly double[] s_walks = [0.0001, 0.001, 0.01, 0.1, 1, 10];

    private const double TieMore = 3;

    /// <summary>Share of a line's square that the model misses and that is no matter of angle: a floor under the noise.</summary>
    private const double ModelShare = 0.003;

    /// <summary>Share of all lines' squares below which a line counts as empty: in a record without noise its phase would be taken from rounding.</summary>
    private const double Emptiness = 1e-5;

    /// <summary>Corrects the angles of every rotor.</summary>
    /// <param name="tracked">The stretch; its angles and doubts are brought up to date.</param>
    /// <param name="residual">What the fit left.</param>
    /// <param name="noise">Variance of a node's noise, [3 · line + axis].</param>
    /// <param name="mostWalk">Fastest walk that is thought possible, rad² a second.</param>
    /// <returns>How far the angles moved, root mean square, in units of their doubt, and the walk taken.</returns>
    internal static (double Moved, double Walk) Correct(DemodulatedSegment tracked, Residual residual, double[] noise, double mostWalk)
    {
        int rotors = tracked.Rotors, nodes = tracked.Stretch.Nodes;
        double[] information = ArrayPool<double>.Shared.Rent(nodes * rotors * rotors), gradient = new double[nodes * rotors];
        Array.Clear(information, 0, nodes * rotors * rotors);
        Gather(tracked, residual, noise, information, gradient);
        double[] turned = new double[gradient.Length];
        for (int rotor = 0; rotor < rotors; rotor++)
        {
            for (int b = 0; b < nodes; b++)
            {
                turned[b * rotors + rotor] = tracked.Turned[rotor][b];
            }
        }

        AddProduct(information, turned, rotors, gradient);
        double[] scores = new double[Tried(mostWalk)];
        Parallel.For(0, scores.Length, tracked.Threads, w => scores[w] = Solve(information, gradient, rotors, nodes, s_walks[w] * tracked.Stretch.NodeS).Score);
        double walk = Math.Min(Best(scores), mostWalk);
        (double[] course, double score, double[] doubt) = Solve(information, gradient, rotors, nodes, walk * tracked.Stretch.NodeS, withDoubt: true);
        while (!double.IsFinite(score) && walk > s_walks[0])
        {
            // Where lines lie on each other the information need not be positive definite; the ties between nodes must make up for it.
            walk /= TieMore;
            (course, score, doubt) = Solve(information, gradient, rotors, nodes, walk * tracked.Stretch.NodeS, withDoubt: true);
        }

        ArrayPool<double>.Shared.Return(information);
        if (!double.IsFinite(score))
        {
            return (0, walk);
        }

        var one = new double[nodes];
        double moved = 0, all = 0;
        for (int rotor = 0; rotor < rotors; rotor++)
        {
            for (int b = 0; b < nodes; b++)
            {
                int row = b * rotors + rotor;
                one[b] = course[row] - turned[row];
                tracked.Doubts[rotor][b] = doubt[row];
                moved += one[b] * one[b];
                all += doubt[row];
            }

            tracked.TurnBy(rotor, one);
        }

        return (Math.Sqrt(moved / all), walk);
    }

    /// <summary>How many of the walks to try: one so far beyond the fastest possible that even half a step back lies beyond it comes out as that one
    /// anyway, and what follows it need not be tried.</summary>
    private static int Tried(double mostWalk)
    {
        int beyond = 1 + Array.FindIndex(s_walks, walk => walk > Math.Sqrt(s_walks[1] / s_walks[0]) * mostWalk);
        return beyond == 0 ? s_walks.Length : beyond;
    }

    /// <summary>The walk of the least score, between those tried.</summary>
    private static double Best(double[] scores)
    {
        int best = 0;
        for (int w = 1; w < scores.Length; w++)
        {
            best = scores[w] < scores[best] || double.IsNaN(scores[best]) ? w : best;
        }

        double between = 0;
        if (best > 0 && best + 1 < scores.Length)
        {
            double bend = scores[best - 1] - 2 * scores[best] + scores[best + 1];
            between = bend > 0 ? Math.Clamp(0.5 * (scores[best - 1] - scores[best + 1]) / bend, -0.5, 0.5) : 0;
        }

        return s_walks[best] * Math.Pow(s_walks[1] / s_walks[0], between);
    }

    /// <summary>Adds information times x to a vector, node by node.</summary>
    private static void AddProduct(double[] information, double[] x, int rotors, double[] to)
    {
        for (int row = 0; row < x.Length; row++)
        {
            int node = row / rotors, m = row % rotors;
            double sum = 0;
            for (int k = 0; k < rotors; k++)
            {
                sum += information[(node * rotors + Math.Max(m, k)) * rotors + Math.Min(m, k)] * x[node * rotors + k];
            }

            to[row] += sum;
        }
    }

    private static void Gather(DemodulatedSegment tracked, Residual residual, double[] noise, double[] information, double[] gradient)
    {
        IReadOnlyList<Line> lines = tracked.Lines;
        int nodes = tracked.Stretch.Nodes;
        double[] perNode = Weights(residual.Envelopes, noise);
        double[] hz = [.. lines.Select(l => l.ApparentHz(tracked.RotorHz(l.Rotor, 0, nodes - 1)))];
        Parallel.For(0, (nodes + Piece.Most - 1) / Piece.Most, tracked.Threads, () => new Piece(tracked, residual, perNode, hz), (p, _, piece) =>
        {
            piece.Gather(p * Piece.Most, Math.Min(Piece.Most, nodes - p * Piece.Most), information, gradient);
            return piece;
        }, piece => piece.Dispose());
    }

    /// <summary>How much a node of each line and axis counts, 1 / variance.</summary>
    internal static double[] Weights(Complex[][] courses, double[] noise)
    {
        double[] squares = [.. courses.Select(MeanSquare)];
        double floor = Emptiness * squares.Sum() + 1e-30;
        return [.. noise.Select((n, i) => 1 / (n + ModelShare * squares[i] + floor))];
    }

    private static double MeanSquare(Complex[] values)
    {
        double sum = 0;
        foreach (Complex v in values)
        {
            sum += v.Real * v.Real + v.Imaginary * v.Imaginary;
        }

        return sum / values.Length;
    }

    /// <summary>Gathers a run of nodes at a time, small enough to stay in the cache; one thread each.</summary>
    private sealed class Piece(DemodulatedSegment tracked, Residual residual, double[] perNode, double[] hz) : IDisposable
    {
        internal const int Most = 256;

        // Phasors of every line and axis as they stand in the samples: envelope times unit.
        private readonly double[] _re = ArrayPool<double>.Shared.Rent(3 * tracked.Lines.Count * Most);
        private readonly double[] _im = ArrayPool<double>.Shared.Rent(3 * tracked.Lines.Count * Most);
        private readonly double[] _response = new double[Most];
        private readonly double[] _sum = new double[Most];

        public void Dispose()
        {
            ArrayPool<double>.Shared.Return(_re);
            ArrayPool<double>.Shared.Return(_im);
        }

        internal void Gather(int from, int count, double[] information, double[] gradient)
        {
            IReadOnlyList<Line> lines = tracked.Lines;
            for (int i = 0; i < lines.Count; i++)
            {
                Turn(i, from, count, gradient);
                for (int j = 0; j <= i; j++)
                {
                    if (Math.Abs(hz[j] - hz[i]) < 2 * JointFit.ReachHz)
                    {
                        AddInformation(i, j, from, count, information);
                    }
                }
            }
        }

        private void Turn(int line, int from, int count, double[] gradient)
        {
            int rotors = tracked.Rotors, row = tracked.Lines[line].Rotor;
            ReadOnlySpan<Complex> unit = tracked.Units[line].AsSpan(from, count);
            for (int axis = 0; axis < 3; axis++)
            {
                double weight = 2 * tracked.Lines[line].Turn * perNode[3 * line + axis];
                ReadOnlySpan<Complex> phasor = residual.Envelopes[3 * line + axis].AsSpan(from, count), rest = residual.Nodes[3 * line + axis].AsSpan(from, count);
                Span<double> re = _re.AsSpan((3 * line + axis) * Most, count), im = _im.AsSpan((3 * line + axis) * Most, count);
                for (int b = 0; b < count; b++)
                {
                    double r = phasor[b].Real, i = phasor[b].Imaginary;
                    gradient[(from + b) * rotors + row] += weight * (r * rest[b].Imaginary - i * rest[b].Real);
                    re[b] = r * unit[b].Real - i * unit[b].Imaginary;
                    im[b] = r * unit[b].Imaginary + i * unit[b].Real;
                }
            }
        }

        private void AddInformation(int i, int j, int from, int count, double[] information)
        {
            int rotors = tracked.Rotors, one = tracked.Lines[i].Rotor, other = tracked.Lines[j].Rotor;
            int low = Math.Min(one, other), high = Math.Max(one, other);
            double twice = low == high && i != j ? 2 : 1;
            Span<double> response = _response.AsSpan(0, count), sum = _sum.AsSpan(0, count);
            tracked.Response(i, j, from, response);
            sum.Clear();
            for (int axis = 0; axis < 3; axis++)
            {
                double weight = 2 * twice * tracked.Lines[i].Turn * tracked.Lines[j].Turn * Math.Sqrt(perNode[3 * i + axis] * perNode[3 * j + axis]);
                int a = (3 * i + axis) * Most, c = (3 * j + axis) * Most;
                AddProducts(weight, _re.AsSpan(a, count), _im.AsSpan(a, count), _re.AsSpan(c, count), _im.AsSpan(c, count), sum);
            }

            for (int b = 0; b < count; b++)
            {
                information[((from + b) * rotors + high) * rotors + low] += response[b] * sum[b];
            }
        }

        /// <summary>Adds weight · Re(conj(a) c).</summary>
        private static void AddProducts(
            double weight, ReadOnlySpan<double> aRe, ReadOnlySpan<double> aIm, ReadOnlySpan<double> cRe, ReadOnlySpan<double> cIm, Span<double> sum)
        {
            int b = 0, lanes = Vector<double>.Count;
            var weights = new Vector<double>(weight);
            for (; b <= sum.Length - lanes; b += lanes)
            {
                Vector<double> products = new Vector<double>(aRe[b..]) * new Vector<double>(cRe[b..]) + new Vector<double>(aIm[b..]) * new Vector<double>(cIm[b..]);
                (new Vector<double>(sum[b..]) + weights * products).CopyTo(sum[b..]);
            }

            for (; b < sum.Length; b++)
            {
                sum[b] += weight * (aRe[b] * cRe[b] + aIm[b] * cIm[b]);
            }
        }
    }

    /// <summary>The course for one walk, and minus twice its log evidence.</summary>
    private static (double[] Course, double Score, double[] Doubt) Solve(
        double[] information, double[] gradient, int rotors, int nodes, double stepVariance, bool withDoubt = false)
    {
        // Row r = node · rotors + rotor; band[r][k] is the entry at column r - rotors + k.
        int width = rotors + 1, size = nodes * rotors;
        double[] band = ArrayPool<double>.Shared.Rent(size * width);
        Array.Clear(band, 0, size * width);
        double tie = 1 / stepVariance;
        for (int b = 0; b < nodes; b++)
        {
            for (int m = 0; m < rotors; m++)
            {
                int row = b * rotors + m;
                for (int k = 0; k < m; k++)
                {
                    band[row * width + rotors - m + k] = information[(b * rotors + m) * rotors + k];
                }

                // A whisper holds the level, which only the phasors know.
                band[row * width + rotors] = information[(b * rotors + m) * rotors + m] + tie * ((b > 0 ? 1 : 0) + (b < nodes - 1 ? 1 : 0)) + 1e-6 * tie;
                if (b > 0)
                {
                    band[row * width] += -tie;
                }
            }
        }

        double[] x = (double[])gradient.Clone();
        double logDeterminant = BandedCholesky.FactorAndSolve(band, x, rotors);
        double[] doubt = withDoubt ? BandedCholesky.InverseDiagonal(band, size, rotors) : [];
        ArrayPool<double>.Shared.Return(band);
        double fit = 0;
        for (int i = 0; i < size; i++)
        {
            fit += x[i] * gradient[i];
        }

        return (x, logDeterminant - fit + size * Math.Log(stepVariance), doubt);
    }
}
