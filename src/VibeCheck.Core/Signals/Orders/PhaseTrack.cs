using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>Second correction of the rotor angles: the most likely course of all rotors' angle errors at once, node by node, given
/// the residual of the fit and errors that wander like a random walk.</summary>
/// <remarks>
/// One Gauss-Newton step on sum |residual|² / noise + sum (step of the error)² / (walk · time). The matrix is banded with as many
/// bands as rotors, so rotors of nearly equal speed are corrected together, at a cost linear in the length. The walk is the one
/// under which the data are likeliest (Laplace's approximation; the determinant comes with the factor).
/// </remarks>
internal static class PhaseTrack
{
    private static readonly double[] s_walks = [0.0003, 0.003, 0.03, 0.3, 3];

    /// <summary>Share of a line's square that the model misses and that is no matter of angle: a floor under the noise.</summary>
    private const double ModelShare = 0.003;

    /// <summary>Share of all lines' squares below which a line counts as empty: in a record without noise its phase would be taken from rounding.</summary>
    private const double Emptiness = 1e-5;

    /// <summary>Corrects the angles of every rotor.</summary>
    /// <returns>The walk used, rad² a second.</returns>
    internal static double Correct(WindowFits fits, Residual residual, double[] noise)
    {
        TrackedStretch tracked = fits.Tracked;
        int rotors = tracked.Rotors, nodes = tracked.Stretch.Nodes;
        double[] information = new double[nodes * rotors * rotors], gradient = new double[nodes * rotors];
        Gather(fits, residual, noise, information, gradient);
        double bestWalk = 0, bestScore = double.PositiveInfinity;
        double[]? best = null;
        foreach (double walk in s_walks)
        {
            (double[] course, double score) = Solve(information, gradient, rotors, nodes, walk * tracked.Stretch.NodeS);
            if (score < bestScore)
            {
                (bestWalk, bestScore, best) = (walk, score, course);
            }
        }

        var one = new double[nodes];
        for (int rotor = 0; rotor < rotors; rotor++)
        {
            for (int b = 0; b < nodes; b++)
            {
                one[b] = best![b * rotors + rotor];
            }

            tracked.TurnBy(rotor, one);
        }

        return bestWalk;
    }

    private static void Gather(WindowFits fits, Residual residual, double[] noise, double[] information, double[] gradient)
    {
        TrackedStretch tracked = fits.Tracked;
        IReadOnlyList<Line> lines = tracked.Lines;
        int rotors = tracked.Rotors, nodes = tracked.Stretch.Nodes;
        double[] squares = [.. residual.Envelopes.Select(MeanSquare)];
        double floor = Emptiness * squares.Sum() + 1e-30;
        double[] perNode = [.. noise.Select((n, i) => 1 / (n * fits.Length * 4 / 6 + ModelShare * squares[i] + floor))];
        double[] hz = [.. lines.Select(l => l.ApparentHz(tracked.RotorHz(l.Rotor, 0, nodes - 1)))];
        for (int i = 0; i < lines.Count; i++)
        {
            int row = lines[i].Rotor;
            for (int axis = 0; axis < 3; axis++)
            {
                double weight = 2 * lines[i].Turn * perNode[3 * i + axis];
                Complex[] phasor = residual.Envelopes[3 * i + axis], rest = residual.Nodes[3 * i + axis];
                for (int b = 0; b < nodes; b++)
                {
                    gradient[b * rotors + row] += weight * (phasor[b].Real * rest[b].Imaginary - phasor[b].Imaginary * rest[b].Real);
                }
            }

            for (int j = 0; j <= i; j++)
            {
                double apart = hz[j] - hz[i];
                if (Math.Abs(apart) < JointFit.ReachHz)
                {
                    AddInformation(tracked, residual, perNode, information, i, j);
                }
            }
        }
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

    private static void AddInformation(
        TrackedStretch tracked, Residual residual, double[] perNode, double[] information, int i, int j)
    {
        int rotors = tracked.Rotors, low = Math.Min(tracked.Lines[i].Rotor, tracked.Lines[j].Rotor), high = Math.Max(tracked.Lines[i].Rotor, tracked.Lines[j].Rotor);
        Complex[] one = tracked.Units[i], other = tracked.Units[j];
        double twice = low == high && i != j ? 2 : 1;
        double[] response = new double[one.Length];
        tracked.Response(i, j, 0, response);
        for (int axis = 0; axis < 3; axis++)
        {
            double weight = 2 * twice * tracked.Lines[i].Turn * tracked.Lines[j].Turn * Math.Sqrt(perNode[3 * i + axis] * perNode[3 * j + axis]);
            Complex[] a = residual.Envelopes[3 * i + axis], c = residual.Envelopes[3 * j + axis];
            for (int b = 0; b < a.Length; b++)
            {
                // Re(conj(a u_i) c u_j)
                double ar = a[b].Real * one[b].Real - a[b].Imaginary * one[b].Imaginary, ai = a[b].Real * one[b].Imaginary + a[b].Imaginary * one[b].Real;
                double cr = c[b].Real * other[b].Real - c[b].Imaginary * other[b].Imaginary, ci = c[b].Real * other[b].Imaginary + c[b].Imaginary * other[b].Real;
                information[(b * rotors + high) * rotors + low] += weight * response[b] * (ar * cr + ai * ci);
            }
        }
    }

    /// <summary>The course for one walk, and minus twice its log evidence.</summary>
    private static (double[] Course, double Score) Solve(double[] information, double[] gradient, int rotors, int nodes, double stepVariance)
    {
        // Row r = node · rotors + rotor; band[r][k] is the entry at column r - rotors + k.
        int width = rotors + 1, size = nodes * rotors;
        double[] band = new double[size * width];
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
        double fit = 0;
        for (int i = 0; i < size; i++)
        {
            fit += x[i] * gradient[i];
        }

        return (x, logDeterminant - fit + size * Math.Log(stepVariance));
    }
}
