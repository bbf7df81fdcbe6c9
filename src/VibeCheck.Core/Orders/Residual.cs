using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>What fitted envelopes leave of the samples, seen around every line, [3 · line + axis][sample]. Owns its buffers until it
/// is disposed.</summary>
internal sealed class Residual : IDisposable
{
    private readonly EnvelopeSet _rest;

    private Residual(EnvelopeSet rest) => _rest = rest;

    /// <summary>How many lines and axes.</summary>
    internal int Count => _rest.Count;

    internal Complex[] this[int index] => _rest[index];

    /// <summary>What is left when every line has its envelope.</summary>
    internal static Residual Of(DemodulatedSegment demodulated, EnvelopeSet envelopes)
    {
        int lines = demodulated.Lines.Count,
            count = demodulated.Segment.EnvelopeCount;
        EnvelopeSet rest = demodulated.Workspace.Rent(3 * lines, count);
        double[] hz = demodulated.Phases.ApparentHz(demodulated.Lines);
        Parallel.For(
            0,
            lines,
            demodulated.Workspace.Threads,
            () => new Products(count),
            (line, _, products) =>
            {
                for (int axis = 0; axis < 3; axis++)
                {
                    demodulated.Sums[3 * line + axis].CopyTo(rest[3 * line + axis], 0);
                }

                for (int other = 0; other < lines; other++)
                {
                    if (Math.Abs(hz[other] - hz[line]) < 2 * OrderTuning.Windows.ReachHz)
                    {
                        products.Fill(demodulated, line, other);
                        for (int axis = 0; axis < 3; axis++)
                        {
                            products.Subtract(rest[3 * line + axis], envelopes[3 * other + axis]);
                        }
                    }
                }

                return products;
            },
            _ => { }
        );
        return new Residual(rest);
    }

    /// <summary>What is left by the fit in windows.</summary>
    internal static Residual Of(WindowFits fits)
    {
        using EnvelopeSet envelopes = fits.Envelopes();
        return Of(fits.Demodulated, envelopes);
    }

    /// <summary>Twice the negative log-likelihood of the residual, but for a constant.</summary>
    /// <param name="noise">Variance of an envelope sample's noise, (m/s²)², [3 · line + axis].</param>
    internal double NegativeLogLikelihood(double[] noise)
    {
        double sum = 0;
        for (int i = 0; i < Count; i++)
        {
            double square = 0;
            foreach (Complex sample in _rest[i])
            {
                square += sample.Real * sample.Real + sample.Imaginary * sample.Imaginary;
            }

            sum += 2 * (square / noise[i] + _rest[i].Length * Math.Log(noise[i]));
        }

        return sum;
    }

    /// <summary>Envelope samples in a box.</summary>
    internal static int Box(double envelopeS) => Math.Max(1, (int)Math.Round(OrderTuning.CycleSlips.BoxS / envelopeS));

    /// <summary>Content of the residual, box by box, in units of the noise; what is left at the end counts in the last.</summary>
    /// <param name="noise">Variance of an envelope sample's noise, (m/s²)², [3 · line + axis].</param>
    /// <param name="box">Samples in a box.</param>
    internal double[] Boxes(double[] noise, int box)
    {
        double[] boxes = new double[Count == 0 ? 0 : _rest[0].Length / box];
        for (int i = 0; i < Count; i++)
        {
            for (int k = 0; k < boxes.Length; k++)
            {
                int to = k == boxes.Length - 1 ? _rest[i].Length : (k + 1) * box;
                foreach (Complex sample in _rest[i].AsSpan(k * box, to - k * box))
                {
                    boxes[k] += 2 * (sample.Real * sample.Real + sample.Imaginary * sample.Imaginary) / noise[i];
                }
            }
        }

        return boxes;
    }

    /// <summary>The worst box over the median box; both ends, where lines begin, are left out.</summary>
    /// <param name="noise">Variance of an envelope sample's noise, (m/s²)², [3 · line + axis].</param>
    /// <param name="envelopeS">Time between envelope samples, s.</param>
    internal double Roughness(double[] noise, double envelopeS)
    {
        double[] boxes = Boxes(noise, Box(envelopeS));
        if (boxes.Length < OrderTuning.CycleSlips.LeastBoxes)
        {
            return double.PositiveInfinity;
        }

        boxes = boxes[1..^1];
        Array.Sort(boxes);
        return boxes[^1] / boxes[boxes.Length / 2];
    }

    /// <summary>Returns the buffers.</summary>
    public void Dispose() => _rest.Dispose();

    /// <summary>What one line is, seen along another, sample by sample. In memory of its own, one a thread.</summary>
    private sealed class Products(int count)
    {
        private readonly double[] _response = new double[count];
        private readonly Complex[] _turn = new Complex[count];

        internal void Fill(DemodulatedSegment demodulated, int line, int other)
        {
            demodulated.Response(line, other, 0, _response);
            ReadOnlySpan<Complex> own = demodulated.Units[line].AsSpan(0, _turn.Length);
            ReadOnlySpan<Complex> its = demodulated.Units[other].AsSpan(0, _turn.Length);
            PhasorProducts.Fill(_response, own, its, _turn);
        }

        internal void Subtract(Span<Complex> rest, ReadOnlySpan<Complex> envelope) => PhasorProducts.Subtract(rest, envelope, _turn);
    }
}
