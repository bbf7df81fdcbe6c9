using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders;

/// <summary>Estimates the noise at each line from the residual's own spectrum beside it: the noise of an airframe is coloured, so what
/// it is elsewhere does not count.</summary>
/// <remarks>
/// Hann periodograms of the residual some tenths of a hertz off, beyond what an envelope follows; and some hertz off, beyond what a phase
/// follows: the larger of the two, for what was fitted too eagerly looks quiet. (Chance makes it a tenth too large over a minute.)
/// Noise under the demodulation's triangle is white over such a distance. It holds only tables and is thread-safe.
/// </remarks>
internal sealed class NoiseEstimator
{
    private readonly DetrendedSegment _segment;
    private readonly ParallelOptions _threads;
    private readonly int _length;
    private readonly int[] _first;
    private readonly Turn[] _near;
    private readonly Turn[] _far;

    /// <param name="segment">The segment whose residuals it will be given.</param>
    /// <param name="threads">How many threads it may use.</param>
    internal NoiseEstimator(DetrendedSegment segment, ParallelOptions threads)
    {
        (_segment, _threads) = (segment, threads);
        int intervals = segment.Intervals;
        _length = Math.Min(intervals, (int)Math.Round(OrderTuning.Noise.WindowS / segment.EnvelopeS));
        int count = (int)Math.Ceiling((intervals - _length) / (_length / OrderTuning.Noise.WindowsPerLength)) + 1;
        _first =
        [
            .. Enumerable.Range(0, count).Select(w => count == 1 ? 0 : (int)Math.Round((double)w * (intervals - _length) / (count - 1))),
        ];
        _near = [.. OrderTuning.Noise.NearHz.Select(At)];
        _far = [.. OrderTuning.Noise.FarHz.Select(At)];
    }

    /// <summary>Estimates the noise from a residual.</summary>
    internal NoiseEstimate Of(Residual residual)
    {
        double[] variance = new double[residual.Count],
            nearOverFar = new double[residual.Count];
        Parallel.For(
            0,
            variance.Length,
            _threads,
            () => new Parts(residual[0].Length),
            (i, _, parts) =>
            {
                parts.Take(residual[i]);
                Span<double> sums = stackalloc double[_far.Length];
                double near = 0;
                foreach (double value in Squares(parts, _near, sums))
                {
                    near += value / _near.Length;
                }

                Span<double> far = Squares(parts, _far, sums);
                far.Sort();
                double median = (far[far.Length / 2] + far[(far.Length - 1) / 2]) / 2;
                variance[i] = Math.Max(OrderTuning.Noise.Least, Math.Max(near, median));
                nearOverFar[i] = near / Math.Max(OrderTuning.Noise.Least, median);
                return parts;
            },
            _ => { }
        );
        return new NoiseEstimate(variance, Robust.Median(nearOverFar));
    }

    /// <summary>Estimates the noise from what a fit in windows leaves.</summary>
    internal NoiseEstimate Of(WindowFits fits)
    {
        using var residual = Residual.Of(fits);
        return Of(residual);
    }

    private Span<double> Squares(Parts parts, Turn[] turns, Span<double> sums)
    {
        sums = sums[..turns.Length];
        sums.Clear();
        foreach (int first in _first)
        {
            ReadOnlySpan<double> re = parts.Re.AsSpan(first, _length + 1),
                im = parts.Im.AsSpan(first, _length + 1);
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
        ReadOnlySpan<Vector256<double>> a = Vectors(re),
            b = Vectors(im),
            c = Vectors(turnRe),
            d = Vectors(turnIm);
        Vector256<double> sumsRe = default,
            sumsIm = default;
        for (int v = 0; v < a.Length; v++)
        {
            sumsRe += a[v] * c[v] - b[v] * d[v];
            sumsIm += a[v] * d[v] + b[v] * c[v];
        }

        double sumRe = Vector256.Sum(sumsRe),
            sumIm = Vector256.Sum(sumsIm);
        for (int j = 4 * a.Length; j < re.Length; j++)
        {
            sumRe += re[j] * turnRe[j] - im[j] * turnIm[j];
            sumIm += re[j] * turnIm[j] + im[j] * turnRe[j];
        }

        return sumRe * sumRe + sumIm * sumIm;
    }

    private static ReadOnlySpan<Vector256<double>> Vectors(ReadOnlySpan<double> values) =>
        MemoryMarshal.Cast<double, Vector256<double>>(values);

    /// <summary>Hann weights turning at some distance from the line, to the nearest bin of the window.</summary>
    private Turn At(double hz)
    {
        double envelopeS = _segment.EnvelopeS;
        int bin = Math.Sign(hz) * Math.Max(3, (int)Math.Round(Math.Abs(hz) * _length * envelopeS));
        double[] re = new double[_length + 1],
            im = new double[_length + 1];
        double energy = 0;
        for (int j = 0; j <= _length; j++)
        {
            double hann = 0.5 - 0.5 * Math.Cos(Math.Tau * j / _length);
            (double sin, double cos) = Math.SinCos(-Math.Tau * bin * j / _length);
            (re[j], im[j]) = (hann * cos, hann * sin);
            energy += hann * hann;
        }

        double response = Demodulator.Response(bin / (_length * envelopeS), envelopeS);
        return new Turn(re, im, 1 / (energy * response * response));
    }

    /// <summary>Real and imaginary parts of a residual apart, for vectors to take. One a thread.</summary>
    private sealed class Parts(int count)
    {
        internal double[] Re { get; } = new double[count];

        internal double[] Im { get; } = new double[count];

        internal void Take(ReadOnlySpan<Complex> samples)
        {
            for (int b = 0; b < samples.Length; b++)
            {
                (Re[b], Im[b]) = (samples[b].Real, samples[b].Imaginary);
            }
        }
    }

    private sealed record Turn(double[] Re, double[] Im, double Scale);
}
