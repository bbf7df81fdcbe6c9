using System.Buffers;
using System.Numerics;
using Tuning = VibeCheck.Core.Orders.OrderTuning.Phase;

namespace VibeCheck.Core.Orders;

/// <summary>Phase estimate: the most likely errors of all rotors' angles at once, sample by sample, given the residual of the envelope
/// fit and errors that follow a random walk; and their variance.</summary>
/// <remarks>
/// One Gauss-Newton step on sum |residual|² / noise + sum (step of the error)² / (process noise · time). The matrix is banded with as
/// many bands as rotors, so rotors of nearly equal speed are corrected together, at a cost linear in the length. The process noise is
/// the one under which the data are likeliest (Laplace's approximation; the determinant comes with the factor).
/// </remarks>
internal static class PhaseEstimator
{
    /// <summary>Estimates the errors of the angles that a segment was demodulated by.</summary>
    /// <param name="demodulated">The segment.</param>
    /// <param name="envelopes">Envelopes of all lines.</param>
    /// <param name="residual">What they leave.</param>
    /// <param name="noise">Noise at every line.</param>
    /// <param name="mostProcessNoise">Largest process noise thought possible, rad² a second.</param>
    internal static PhaseEstimate Of(
        DemodulatedSegment demodulated,
        EnvelopeSet envelopes,
        Residual residual,
        NoiseEstimate noise,
        double mostProcessNoise
    )
    {
        int rotors = demodulated.Rotors,
            count = demodulated.Segment.EnvelopeCount;
        double envelopeS = demodulated.Segment.EnvelopeS;
        double[] information = ArrayPool<double>.Shared.Rent(count * rotors * rotors),
            gradient = new double[count * rotors];
        Array.Clear(information, 0, count * rotors * rotors);
        Gather(demodulated, envelopes, residual, Weights(envelopes, noise), information, gradient);
        double[] correction = new double[gradient.Length];
        for (int rotor = 0; rotor < rotors; rotor++)
        {
            for (int b = 0; b < count; b++)
            {
                correction[b * rotors + rotor] = demodulated.Phases.Correction[rotor][b];
            }
        }

        AddProduct(information, correction, rotors, gradient);
        double[] scores = new double[Tried(mostProcessNoise)];
        Parallel.For(
            0,
            scores.Length,
            demodulated.Workspace.Threads,
            w => scores[w] = Solve(information, gradient, rotors, count, Tuning.ProcessNoise[w] * envelopeS).Score
        );
        double processNoise = Math.Min(Best(scores), mostProcessNoise);
        (double[] error, double score, double[] variance) = Solve(
            information,
            gradient,
            rotors,
            count,
            processNoise * envelopeS,
            withVariance: true
        );
        while (!double.IsFinite(score) && processNoise > Tuning.ProcessNoise[0])
        {
            // Where lines lie on each other the information need not be positive definite; the ties between samples must make up for it.
            processNoise /= Tuning.StifferBy;
            (error, score, variance) = Solve(information, gradient, rotors, count, processNoise * envelopeS, withVariance: true);
        }

        ArrayPool<double>.Shared.Return(information);
        return double.IsFinite(score)
            ? Estimate(error, correction, variance, rotors, processNoise)
            : new PhaseEstimate([], [], processNoise, 0);
    }

    private static PhaseEstimate Estimate(double[] error, double[] correction, double[] variance, int rotors, double processNoise)
    {
        int count = error.Length / rotors;
        double[][] steps = [.. Enumerable.Range(0, rotors).Select(_ => new double[count])];
        double[][] variances = [.. Enumerable.Range(0, rotors).Select(_ => new double[count])];
        double moved = 0,
            all = 0;
        for (int rotor = 0; rotor < rotors; rotor++)
        {
            for (int b = 0; b < count; b++)
            {
                int row = b * rotors + rotor;
                double step = error[row] - correction[row];
                (steps[rotor][b], variances[rotor][b]) = (step, variance[row]);
                moved += step * step;
                all += variance[row];
            }
        }

        return new PhaseEstimate(steps, variances, processNoise, Math.Sqrt(moved / all));
    }

    /// <summary>How much an envelope sample of each line and axis counts, 1 / variance.</summary>
    internal static double[] Weights(EnvelopeSet envelopes, NoiseEstimate noise)
    {
        double[] squares = [.. envelopes.All.Select(MeanSquare)];
        double floor = Tuning.EmptyShare * squares.Sum() + 1e-30;
        return [.. noise.Variance.Select((n, i) => 1 / (n + Tuning.ModelShare * squares[i] + floor))];
    }

    /// <summary>How many values of the process noise to try: one so far beyond the fastest possible that even half a step back lies
    /// beyond it comes out as that one anyway, and those beyond it need not be tried.</summary>
    private static int Tried(double mostProcessNoise)
    {
        double halfStep = Math.Sqrt(Tuning.ProcessNoise[1] / Tuning.ProcessNoise[0]);
        int beyond = 1 + Array.FindIndex(Tuning.ProcessNoise, tried => tried > halfStep * mostProcessNoise);
        return beyond == 0 ? Tuning.ProcessNoise.Length : beyond;
    }

    /// <summary>The process noise of the least score, between those tried.</summary>
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

        return Tuning.ProcessNoise[best] * Math.Pow(Tuning.ProcessNoise[1] / Tuning.ProcessNoise[0], between);
    }

    /// <summary>Adds information times x to a vector, sample by sample.</summary>
    private static void AddProduct(double[] information, double[] x, int rotors, double[] to)
    {
        for (int row = 0; row < x.Length; row++)
        {
            int sample = row / rotors,
                m = row % rotors;
            double sum = 0;
            for (int k = 0; k < rotors; k++)
            {
                sum += information[(sample * rotors + Math.Max(m, k)) * rotors + Math.Min(m, k)] * x[sample * rotors + k];
            }

            to[row] += sum;
        }
    }

    private static void Gather(
        DemodulatedSegment demodulated,
        EnvelopeSet envelopes,
        Residual residual,
        double[] weights,
        double[] information,
        double[] gradient
    )
    {
        int count = demodulated.Segment.EnvelopeCount;
        double[] hz = demodulated.Phases.ApparentHz(demodulated.Lines);
        int pieces = (count + Piece.Most - 1) / Piece.Most;
        Parallel.For(
            0,
            pieces,
            demodulated.Workspace.Threads,
            NewPiece,
            (p, _, piece) =>
            {
                piece.Gather(p * Piece.Most, Math.Min(Piece.Most, count - p * Piece.Most), information, gradient);
                return piece;
            },
            piece => piece.Dispose()
        );

        Piece NewPiece() => new(demodulated, envelopes, residual, weights, hz);
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

    /// <summary>Gathers some samples at a time, small enough to stay in the cache; one thread each.</summary>
    private sealed class Piece(DemodulatedSegment demodulated, EnvelopeSet envelopes, Residual residual, double[] weights, double[] hz)
        : IDisposable
    {
        internal const int Most = 256;

        // Phasors of every line and axis as they stand in the samples: envelope times unit.
        private readonly double[] _re = ArrayPool<double>.Shared.Rent(3 * demodulated.Lines.Count * Most);
        private readonly double[] _im = ArrayPool<double>.Shared.Rent(3 * demodulated.Lines.Count * Most);
        private readonly double[] _response = new double[Most];
        private readonly double[] _sum = new double[Most];

        public void Dispose()
        {
            ArrayPool<double>.Shared.Return(_re);
            ArrayPool<double>.Shared.Return(_im);
        }

        internal void Gather(int from, int count, double[] information, double[] gradient)
        {
            IReadOnlyList<Line> lines = demodulated.Lines;
            for (int i = 0; i < lines.Count; i++)
            {
                Turn(i, from, count, gradient);
                for (int j = 0; j <= i; j++)
                {
                    if (Math.Abs(hz[j] - hz[i]) < 2 * OrderTuning.Windows.ReachHz)
                    {
                        AddInformation(i, j, from, count, information);
                    }
                }
            }
        }

        private void Turn(int line, int from, int count, double[] gradient)
        {
            int rotors = demodulated.Rotors,
                row = demodulated.Lines[line].Rotor;
            ReadOnlySpan<Complex> unit = demodulated.Units[line].AsSpan(from, count);
            for (int axis = 0; axis < 3; axis++)
            {
                double weight = 2 * demodulated.Lines[line].SignedOrder * weights[3 * line + axis];
                ReadOnlySpan<Complex> phasor = envelopes[3 * line + axis].AsSpan(from, count);
                ReadOnlySpan<Complex> rest = residual[3 * line + axis].AsSpan(from, count);
                Span<double> re = _re.AsSpan((3 * line + axis) * Most, count),
                    im = _im.AsSpan((3 * line + axis) * Most, count);
                for (int b = 0; b < count; b++)
                {
                    double r = phasor[b].Real,
                        i = phasor[b].Imaginary;
                    gradient[(from + b) * rotors + row] += weight * (r * rest[b].Imaginary - i * rest[b].Real);
                    re[b] = r * unit[b].Real - i * unit[b].Imaginary;
                    im[b] = r * unit[b].Imaginary + i * unit[b].Real;
                }
            }
        }

        private void AddInformation(int i, int j, int from, int count, double[] information)
        {
            int rotors = demodulated.Rotors,
                one = demodulated.Lines[i].Rotor,
                other = demodulated.Lines[j].Rotor;
            int low = Math.Min(one, other),
                high = Math.Max(one, other);
            double twice = low == high && i != j ? 2 : 1;
            Span<double> response = _response.AsSpan(0, count),
                sum = _sum.AsSpan(0, count);
            demodulated.Response(i, j, from, response);
            sum.Clear();
            for (int axis = 0; axis < 3; axis++)
            {
                double weight =
                    2
                    * twice
                    * demodulated.Lines[i].SignedOrder
                    * demodulated.Lines[j].SignedOrder
                    * Math.Sqrt(weights[3 * i + axis] * weights[3 * j + axis]);
                int a = (3 * i + axis) * Most,
                    c = (3 * j + axis) * Most;
                AddProducts(weight, _re.AsSpan(a, count), _im.AsSpan(a, count), _re.AsSpan(c, count), _im.AsSpan(c, count), sum);
            }

            for (int b = 0; b < count; b++)
            {
                information[((from + b) * rotors + high) * rotors + low] += response[b] * sum[b];
            }
        }

        /// <summary>Adds weight · Re(conj(a) c).</summary>
        private static void AddProducts(
            double weight,
            ReadOnlySpan<double> aRe,
            ReadOnlySpan<double> aIm,
            ReadOnlySpan<double> cRe,
            ReadOnlySpan<double> cIm,
            Span<double> sum
        )
        {
            int b = 0,
                lanes = Vector<double>.Count;
            var weights = new Vector<double>(weight);
            for (; b <= sum.Length - lanes; b += lanes)
            {
                Vector<double> products =
                    new Vector<double>(aRe[b..]) * new Vector<double>(cRe[b..])
                    + new Vector<double>(aIm[b..]) * new Vector<double>(cIm[b..]);
                (new Vector<double>(sum[b..]) + weights * products).CopyTo(sum[b..]);
            }

            for (; b < sum.Length; b++)
            {
                sum[b] += weight * (aRe[b] * cRe[b] + aIm[b] * cIm[b]);
            }
        }
    }

    /// <summary>The errors for one process noise, minus twice its log evidence, and their variance.</summary>
    private static (double[] Error, double Score, double[] Variance) Solve(
        double[] information,
        double[] gradient,
        int rotors,
        int count,
        double stepVariance,
        bool withVariance = false
    )
    {
        // Row r = sample · rotors + rotor; band[r][k] is the entry at column r - rotors + k.
        int width = rotors + 1,
            size = count * rotors;
        double[] band = ArrayPool<double>.Shared.Rent(size * width);
        Array.Clear(band, 0, size * width);
        double tie = 1 / stepVariance;
        for (int b = 0; b < count; b++)
        {
            for (int m = 0; m < rotors; m++)
            {
                int row = b * rotors + m;
                for (int k = 0; k < m; k++)
                {
                    band[row * width + rotors - m + k] = information[(b * rotors + m) * rotors + k];
                }

                // Diagonal loading holds the level, which only the phasors determine.
                int neighbours = (b > 0 ? 1 : 0) + (b < count - 1 ? 1 : 0);
                band[row * width + rotors] = information[(b * rotors + m) * rotors + m] + tie * neighbours + Tuning.DiagonalLoading * tie;
                if (b > 0)
                {
                    band[row * width] += -tie;
                }
            }
        }

        double[] x = (double[])gradient.Clone();
        double logDeterminant = BandedCholesky.FactorAndSolve(band, x, rotors);
        double[] variance = withVariance ? BandedCholesky.InverseDiagonal(band, size, rotors) : [];
        ArrayPool<double>.Shared.Return(band);
        double fit = 0;
        for (int i = 0; i < size; i++)
        {
            fit += x[i] * gradient[i];
        }

        return (x, logDeterminant - fit + size * Math.Log(stepVariance), variance);
    }
}
