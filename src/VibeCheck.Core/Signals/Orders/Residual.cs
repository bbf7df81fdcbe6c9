using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>What the fitted lines leave of the samples, seen around every line, and the lines' phasors node by node. Stands in memory
/// that belongs to the stretch: the next residual of the same stretch takes its place.</summary>
internal sealed class Residual
{
    private Residual(Complex[][] nodes, Complex[][] envelopes)
    {
        Nodes = nodes;
        Envelopes = envelopes;
    }

    /// <summary>Node sums of the residual, turned with each line, [3 · line + axis][node].</summary>
    internal Complex[][] Nodes { get; }

    /// <summary>Phasors between window centres on straight lines, [3 · line + axis][node].</summary>
    internal Complex[][] Envelopes { get; }

    /// <summary>Minus twice the log likelihood of the residual, but for a constant.</summary>
    /// <param name="noise">Variance of a node's noise, (m/s²)², [3 · line + axis].</param>
    internal double Misfit(double[] noise)
    {
        double misfit = 0;
        for (int i = 0; i < Nodes.Length; i++)
        {
            double square = 0;
            foreach (Complex node in Nodes[i])
            {
                square += node.Real * node.Real + node.Imaginary * node.Imaginary;
            }

            misfit += 2 * (square / noise[i] + Nodes[i].Length * Math.Log(noise[i]));
        }

        return misfit;
    }

    internal static Residual Of(WindowFits fits)
    {
        TrackedStretch tracked = fits.Tracked;
        int lines = tracked.Lines.Count;
        (Complex[][] rest, Complex[][] envelopes) = tracked.ResidualMemory();
        Parallel.For(0, 3 * lines, i => FillEnvelope(fits, i / 3, i % 3, envelopes[i]));
        return Of(tracked, rest, envelopes);
    }

    /// <summary>What is left when every line goes its course.</summary>
    internal static Residual Of(TrackedStretch tracked, Complex[][] courses) => Of(tracked, tracked.ResidualMemory().Nodes, courses);

    private static Residual Of(TrackedStretch tracked, Complex[][] rest, Complex[][] envelopes)
    {
        int lines = tracked.Lines.Count, nodes = tracked.Stretch.Nodes;
        double[] hz = [.. tracked.Lines.Select(l => l.ApparentHz(tracked.RotorHz(l.Rotor, 0, nodes - 1)))];
        Parallel.For(0, lines, line =>
        {
            double[] response = new double[nodes];
            for (int axis = 0; axis < 3; axis++)
            {
                tracked.Sums[3 * line + axis].CopyTo(rest[3 * line + axis], 0);
            }

            for (int other = 0; other < lines; other++)
            {
                double apart = hz[other] - hz[line];
                if (Math.Abs(apart) < 2 * JointFit.ReachHz)
                {
                    tracked.Response(line, other, 0, response);
                    TakeOff(rest.AsSpan(3 * line, 3), tracked, line, other, envelopes.AsSpan(3 * other, 3), response);
                }
            }
        });
        return new Residual(rest, envelopes);
    }

    private static void TakeOff(Span<Complex[]> rest, TrackedStretch tracked, int line, int other, ReadOnlySpan<Complex[]> envelope, double[] response)
    {
        ReadOnlySpan<Complex> own = tracked.Units[line], unit = tracked.Units[other];
        for (int axis = 0; axis < 3; axis++)
        {
            Span<Complex> nodes = rest[axis];
            ReadOnlySpan<Complex> phasor = envelope[axis];
            for (int b = 0; b < nodes.Length; b++)
            {
                double re = response[b] * (own[b].Real * unit[b].Real + own[b].Imaginary * unit[b].Imaginary);
                double im = response[b] * (own[b].Real * unit[b].Imaginary - own[b].Imaginary * unit[b].Real);
                nodes[b] -= new Complex(phasor[b].Real * re - phasor[b].Imaginary * im, phasor[b].Real * im + phasor[b].Imaginary * re);
            }
        }
    }

    private static void FillEnvelope(WindowFits fits, int line, int axis, Complex[] envelope)
    {
        int window = 0;
        for (int b = 0; b < envelope.Length; b++)
        {
            while (window < fits.Windows - 2 && fits.Centre(window + 1) < b)
            {
                window++;
            }

            int next = Math.Min(window + 1, fits.Windows - 1);
            double share = next == window ? 0 : Math.Clamp((b - fits.Centre(window)) / (fits.Centre(next) - fits.Centre(window)), 0, 1);
            envelope[b] = Between(fits.Phasors(line, window)[axis], fits.Phasors(line, next)[axis], share);
        }
    }

    private static Complex Between(Complex left, Complex right, double share) => new(
        left.Real + share * (right.Real - left.Real), left.Imaginary + share * (right.Imaginary - left.Imaginary));
}
