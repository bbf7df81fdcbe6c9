using System.Numerics;
using System.Runtime.Intrinsics;

namespace VibeCheck.Core.Orders;

/// <summary>Envelopes of lines that were fitted together: coefficients of the splines and their variance, in units of the noise of an
/// axis. Immutable.</summary>
internal sealed class EnvelopeSolution
{
    /// <summary>Indices of the lines.</summary>
    internal required int[] Lines { get; init; }

    /// <summary>The basis of each of them.</summary>
    internal required LinearSplineBasis[] Bases { get; init; }

    /// <summary>First unknown of each line, then their number.</summary>
    internal required int[] Offsets { get; init; }

    /// <summary>Variance of an envelope sample's noise, (m/s²)², x, y, z.</summary>
    internal required double[] Noise { get; init; }

    /// <summary>Whether the equations could be solved; if not, nothing is known of the lines.</summary>
    internal required bool IsSolved { get; init; }

    /// <summary>Coefficients, [axis][unknown].</summary>
    internal required double[][] Re { get; init; }

    /// <summary>Coefficients, [axis][unknown].</summary>
    internal required double[][] Im { get; init; }

    /// <summary>Variance of the coefficients within each line, by rows of all unknowns; the same for every axis in units of its
    /// noise.</summary>
    internal required double[] InverseRe { get; init; }

    /// <summary>See <see cref="InverseRe"/>.</summary>
    internal required double[] InverseIm { get; init; }

    /// <summary>The normal matrix without priors, by rows.</summary>
    internal required double[] NormalRe { get; init; }

    /// <summary>See <see cref="NormalRe"/>.</summary>
    internal required double[] NormalIm { get; init; }

    /// <summary>Variance of each line's envelope with speed, (m/s²)² peak, mean over axes.</summary>
    internal required double[] VarianceWithSpeed { get; init; }

    /// <summary>The same with time.</summary>
    internal required double[] VarianceWithTime { get; init; }

    internal int Unknowns => Offsets[^1];

    /// <summary>Variance of the coefficients that a line would have without neighbours, by rows of its own unknowns.</summary>
    internal double[] InverseAlone(int at)
    {
        int from = Offsets[at],
            count = Offsets[at + 1] - from,
            n = Unknowns;
        double[] re = new double[count * count],
            im = new double[count * count];
        double[] outRe = new double[count * count],
            outIm = new double[count * count];
        for (int r = 0; r < count; r++)
        {
            NormalRe.AsSpan((from + r) * n + from, count).CopyTo(re.AsSpan(r * count));
            NormalIm.AsSpan((from + r) * n + from, count).CopyTo(im.AsSpan(r * count));
        }

        double unit = (Noise[0] + Noise[1] + Noise[2]) / 3;
        EnvelopeEquations.AddPrior(Bases[at], VarianceWithSpeed[at] / unit, VarianceWithTime[at] / unit, 0, count, re);
        using var solver = new HermitianSolver(count);
        solver.Factor(re, im, count);
        solver.InvertBlocks([0, count], outRe, outIm);
        return outRe;
    }

    /// <summary>Fills in the envelopes of its lines, m/s².</summary>
    internal void Fill(EnvelopeSet envelopes)
    {
        for (int i = 0; i < Lines.Length; i++)
        {
            for (int axis = 0; axis < 3; axis++)
            {
                Fill(i, axis, envelopes[3 * Lines[i] + axis]);
            }
        }
    }

    private void Fill(int at, int axis, Complex[] envelope)
    {
        LinearSplineBasis basis = Bases[at];
        ReadOnlySpan<double> re = Re[axis].AsSpan(Offsets[at], basis.Count),
            im = Im[axis].AsSpan(Offsets[at], basis.Count);
        double unit = Math.Sqrt(Noise[axis]);
        ReadOnlySpan<int> first = basis.First;
        ReadOnlySpan<Vector128<double>> shares = basis.Shares;
        for (int k = 0, p = 0; k < envelope.Length; k++)
        {
            double sumRe = re[0],
                sumIm = im[0];
            for (int end = p + basis.Pairs; p < end; p++)
            {
                sumRe += Vector128.Dot(shares[p], Vector128.Create(re[first[p]..]));
                sumIm += Vector128.Dot(shares[p], Vector128.Create(im[first[p]..]));
            }

            envelope[k] = new Complex(unit * sumRe, unit * sumIm);
        }
    }
}
