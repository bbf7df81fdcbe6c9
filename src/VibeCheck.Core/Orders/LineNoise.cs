using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders;

/// <summary>The noise at each line, read from the residual's own spectrum beside it: the noise of an airframe is coloured, so what it is
/// elsewhere does not count.</summary>
/// <remarks>
/// Hann periodograms of the residual some tenths of a hertz off, beyond what a course takes; and some hertz off, beyond what an angle takes: the
/// larger of the two, for what was fitted too eagerly looks quiet. (Chance makes it a tenth too large over a minute; taking it only where it is
/// clearly larger doubled the worst errors of the trials.) Noise under a node's triangle is white over such a distance.
/// </remarks>
internal sealed class LineNoise
{
    private const double WindowS = 8;

    private const double Least = 1e-12;
    private static readonly double[] s_nearHz = [-0.625, -0.5, -0.375, 0.375, 0.5, 0.625];
    private static readonly double[] s_farHz = [-6, -5, -4, -3, 3, 4, 5, 6];

    private readonly DemodulatedSegment _tracked;
    private readonly int _length;
    private readonly int[] _first;
    private readonly Turn[] _near;
    private readonly Turn[] _far;
    private readonly double[] _nearOverFar;

    /// <param name="tracked">The stretch; nothing is read yet.</param>
    internal LineNoise(DemodulatedSegment tracked)
    {
        _tracked = tracked;
        Nodes = new double[3 * tracked.Lines.Count];
        _nearOverFar = new double[Nodes.Length];
        int blocks = tracked.Stretch.Blocks;
        _length = Math.Min(blocks, (int)Math.Round(WindowS / tracked.Stretch.NodeS));
        int count = (int)Math.Ceiling((blocks - _length) / (_length / 1.5)) + 1;
        _first = [.. Enumerable.Range(0, count).Select(w => count == 1 ? 0 : (int)Math.Round((double)w * (blocks - _length) / (count - 1)))];
        _near = [.. s_nearHz.Select(At)];
        _far = [.. s_farHz.Select(At)];
    }

    /// <summary>Variance of the noise of a node, (m/s²)², [3 · line + axis].</summary>
    internal double[] Nodes { get; }

    /// <summary>How many times what stands some hertz off stands right beside a line, in the middle of all lines: 1 where nothing but noise is left.</summary>
    internal double Excess => Robust.Median(_nearOverFar);

    /// <summary>Reads the noise from a residual.</summary>
    internal void Read(Residual residual) => Parallel.For(0, Nodes.Length, _tracked.Threads, () => new Parts(residual.Nodes[0].Length), (i, _, parts) =>
    {
        parts.Take(residual.Nodes[i]);
        Span<double> sums = stackalloc double[s_farHz.Length];
        double near = 0;
        foreach (double value in Squares(parts, _near, sums))
        {
            near += value / _near.Length;
        }

        Span<double> far = Squares(parts, _far, sums);
        far.Sort();
        double middle = (far[far.Length / 2] + far[(far.Length - 1) / 2]) / 2;
        Nodes[i] = Math.Max(Least, Math.Max(near, middle));
        _nearOverFar[i] = near / Math.Max(Least, middle);
        return parts;
    }, _ => { });

    private Span<double> Squares(Parts parts, Turn[] turns, Span<double> sums)
    {
        sums = sums[..turns.Length];
        sums.Clear();
        foreach (int first in _first)
        {
            ReadOnlySpan<double> re = parts.Re.AsSpan(first, _length + 1), im = parts.Im.AsSpan(first, _length + 1);
            for (int k = 0; k < turns.Length; k++)
            {
                sums[k] += Square(re, im, turns[k].Re, turns[k].Im);
            }
        }

        for (int k = 0; k < turns.Length; k++)
        {
            sums[k] *= turns[k].Scale / _first.Length;
        }

        return sums;
    }

    private static double Square(ReadOnlySpan<double> re, ReadOnlySpan<double> im, ReadOnlySpan<double> turnRe, ReadOnlySpan<double> turnIm)
    {
        ReadOnlySpan<Vector256<double>> a = MemoryMarshal.Cast<double, Vector256<double>>(re), b = MemoryMarshal.Cast<double, Vector256<double>>(im);
        ReadOnlySpan<Vector256<double>> c = MemoryMarshal.Cast<double, Vector256<double>>(turnRe), d = MemoryMarshal.Cast<double, Vector256<double>>(turnIm);
        Vector256<double> sumsRe = default, sumsIm = default;
        for (int v = 0; v < a.Length; v++)
        {
            sumsRe += a[v] * c[v] - b[v] * d[v];
            sumsIm += a[v] * d[v] + b[v] * c[v];
        }

        double sumRe = Vector256.Sum(sumsRe), sumIm = Vector256.Sum(sumsIm);
        for (int j = 4 * a.Length; j < re.Length; j++)
        {
            sumRe += re[j] * turnRe[j] - im[j] * turnIm[j];
            sumIm += re[j] * turnIm[j] + im[j] * turnRe[j];
        }

        return sumRe * sumRe + sumIm * sumIm;
    }

    /// <summary>Hann weights turning at some distance from the line, to the nearest bin of the window.</summary>
    private Turn At(double hz)
    {
        double nodeS = _tracked.Stretch.NodeS;
        int bin = Math.Sign(hz) * Math.Max(3, (int)Math.Round(Math.Abs(hz) * _length * nodeS));
        double[] re = new double[_length + 1], im = new double[_length + 1];
        double energy = 0;
        for (int j = 0; j <= _length; j++)
        {
            double hann = 0.5 - 0.5 * Math.Cos(Math.Tau * j / _length);
            (double sin, double cos) = Math.SinCos(-Math.Tau * bin * j / _length);
            (re[j], im[j]) = (hann * cos, hann * sin);
            energy += hann * hann;
        }

        double response = JointFit.NodeResponse(bin / (_length * nodeS), nodeS);
        return new Turn(re, im, 1 / (energy * response * response));
    }

    /// <summary>Real and imaginary parts of a residual apart, for vectors to take. One a thread.</summary>
    private sealed class Parts(int nodes)
    {
        internal double[] Re { get; } = new double[nodes];

        internal double[] Im { get; } = new double[nodes];

        internal void Take(ReadOnlySpan<Complex> nodes)
        {
            for (int b = 0; b < nodes.Length; b++)
            {
                (Re[b], Im[b]) = (nodes[b].Real, nodes[b].Imaginary);
            }
        }
    }

    private sealed record Turn(double[] Re, double[] Im, double Scale);
}
