using System.Numerics;
using System.Runtime.Intrinsics;

namespace VibeCheck.Core.Orders;

/// <summary>Demodulation: the one pass over all samples. They are shifted to zero frequency by the rotor's angle and summed around every
/// envelope sample.</summary>
/// <remarks>
/// Envelope sample b is the sum over samples n of 2/S · tri((n - bS)/S) · y[n] · exp(-ikφ[n]), S the step and tri the triangle of
/// half width 1. The triangles add up to 1, so a sum under any window that is straight between envelope samples is a weighted sum of
/// them. Their transform, sinc², passes next to nothing of other lines where it matters (near multiples of the envelope's rate).
/// y = Re(C exp(ikφ)) gives C at every sample but the outermost.
/// </remarks>
internal static class Demodulator
{
    /// <summary>Demodulated samples of one rotor.</summary>
    /// <param name="segment">The samples.</param>
    /// <param name="halfSteps">Rotor angle at envelope samples and midway, rad: 2 · intervals + 1 values.</param>
    /// <param name="orders">Orders, rising, each 1 or more.</param>
    /// <param name="sums">Takes the sums: one array for each order and axis, [3 · order index + axis].</param>
    internal static void Fill(DetrendedSegment segment, ReadOnlySpan<double> halfSteps, ReadOnlySpan<int> orders, Complex[][] sums)
    {
        foreach (Complex[] envelope in sums)
        {
            Array.Clear(envelope);
        }

        int step = segment.Step;
        var block = new Block(step);
        double scale = 2.0 / step;
        Span<double> twelve = stackalloc double[12];
        for (int b = 0; b < segment.Intervals; b++)
        {
            block.Load(segment, b);
            block.Turn(halfSteps[2 * b], halfSteps[2 * b + 1], halfSteps[2 * b + 2]);
            int power = 1;
            for (int o = 0; o < orders.Length; o++)
            {
                block.RaiseTo(ref power, orders[o]);
                block.Sum(twelve);
                for (int axis = 0; axis < 3; axis++)
                {
                    var all = new Complex(twelve[4 * axis], twelve[4 * axis + 1]);
                    var late = new Complex(twelve[4 * axis + 2], twelve[4 * axis + 3]);
                    sums[3 * o + axis][b] += scale * (all - late);
                    sums[3 * o + axis][b + 1] += scale * late;
                }
            }
        }
    }

    /// <summary>What the triangle leaves of a line some hertz off: sinc².</summary>
    internal static double Response(double offsetHz, double envelopeS)
    {
        double x = Math.PI * offsetHz * envelopeS;
        double sinc = Math.Abs(x) < 1e-6 ? 1 : Math.Sin(x) / x;
        return sinc * sinc;
    }

    /// <summary>Samples and phasors of one step, in vectors of four.</summary>
    private sealed class Block(int step)
    {
        private readonly Vector256<double>[] _samples = new Vector256<double>[3 * step / 4];
        private readonly Vector256<double>[] _ramp = Ramp(step);
        private readonly Vector256<double>[] _baseRe = new Vector256<double>[step / 4];
        private readonly Vector256<double>[] _baseIm = new Vector256<double>[step / 4];
        private readonly Vector256<double>[] _re = new Vector256<double>[step / 4];
        private readonly Vector256<double>[] _im = new Vector256<double>[step / 4];

        internal void Load(DetrendedSegment segment, int block)
        {
            int at = block * step,
                vectors = step / 4;
            for (int axis = 0; axis < 3; axis++)
            {
                ReadOnlySpan<double> from = segment.Axes[axis].AsSpan(at, step);
                for (int v = 0; v < vectors; v++)
                {
                    _samples[axis * vectors + v] = Vector256.Create(from.Slice(4 * v, 4));
                }
            }
        }

        /// <summary>exp(-iφ) at every sample, φ the parabola through start, middle and end, by recurrence.</summary>
        internal void Turn(double start, double middle, double end)
        {
            double half = step / 2.0;
            double bend = (end - 2 * middle + start) / (2 * half * half);
            double slope = (middle - start) / half - bend * half;
            Complex e = Unit(-start),
                ratio = Unit(-(slope + bend)),
                bent = Unit(-2 * bend);
            Span<double> four = stackalloc double[16];
            Span<Complex> ratios = stackalloc Complex[7];
            for (int j = 0; j < 7; j++)
            {
                ratios[j] = ratio;
                ratio *= bent;
            }

            for (int j = 0; j < 4; j++)
            {
                Complex jump = ratios[j] * ratios[j + 1] * (ratios[j + 2] * ratios[j + 3]);
                (four[j], four[4 + j], four[8 + j], four[12 + j]) = (e.Real, e.Imaginary, jump.Real, jump.Imaginary);
                e *= ratios[j];
            }

            Complex bentMost = Unit(-32 * bend);
            Vector256<double> re = Vector256.Create<double>(four[..4]),
                im = Vector256.Create<double>(four.Slice(4, 4));
            Vector256<double> jumpRe = Vector256.Create<double>(four.Slice(8, 4)),
                jumpIm = Vector256.Create<double>(four.Slice(12, 4));
            Vector256<double> bentRe = Vector256.Create(bentMost.Real),
                bentIm = Vector256.Create(bentMost.Imaginary);
            for (int v = 0; v < _re.Length; v++)
            {
                _baseRe[v] = _re[v] = re;
                _baseIm[v] = _im[v] = im;
                (re, im) = (re * jumpRe - im * jumpIm, re * jumpIm + im * jumpRe);
                (jumpRe, jumpIm) = (jumpRe * bentRe - jumpIm * bentIm, jumpRe * bentIm + jumpIm * bentRe);
            }
        }

        /// <summary>Brings the phasors from one order to a higher one.</summary>
        internal void RaiseTo(ref int power, int order)
        {
            for (; power < order; power++)
            {
                for (int v = 0; v < _re.Length; v++)
                {
                    (_re[v], _im[v]) = (_re[v] * _baseRe[v] - _im[v] * _baseIm[v], _re[v] * _baseIm[v] + _im[v] * _baseRe[v]);
                }
            }
        }

        /// <summary>Real and imaginary sums, plain and weighted by the ramp from 0 to 1, of each axis.</summary>
        internal void Sum(Span<double> twelve)
        {
            int vectors = _re.Length;
            for (int axis = 0; axis < 3; axis++)
            {
                ReadOnlySpan<Vector256<double>> samples = _samples.AsSpan(axis * vectors, vectors);
                Vector256<double> re = default,
                    im = default,
                    lateRe = default,
                    lateIm = default;
                for (int v = 0; v < samples.Length; v++)
                {
                    Vector256<double> a = samples[v] * _re[v],
                        b = samples[v] * _im[v];
                    re += a;
                    im += b;
                    lateRe += a * _ramp[v];
                    lateIm += b * _ramp[v];
                }

                twelve[4 * axis] = Vector256.Sum(re);
                twelve[4 * axis + 1] = Vector256.Sum(im);
                twelve[4 * axis + 2] = Vector256.Sum(lateRe);
                twelve[4 * axis + 3] = Vector256.Sum(lateIm);
            }
        }

        private static Vector256<double>[] Ramp(int step)
        {
            var ramp = new Vector256<double>[step / 4];
            for (int v = 0; v < ramp.Length; v++)
            {
                ramp[v] = Vector256.Create(4.0 * v, 4 * v + 1, 4 * v + 2, 4 * v + 3) / step;
            }

            return ramp;
        }

        private static Complex Unit(double angle)
        {
            (double sin, double cos) = Math.SinCos(angle);
            return new Complex(cos, sin);
        }
    }
}
