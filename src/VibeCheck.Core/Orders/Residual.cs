using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>What the fitted lines leave of the samples, seen around every line, and the lines' phasors node by node. Stands in memory
/// that belongs to the stretch: the next residual of the same stretch takes its place.</summary>
internal sealed class Residual
{
    private const double BoxS = 0.5;

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

    /// <summary>Nodes in half a second.</summary>
    internal static int Box(double nodeS) => Math.Max(1, (int)Math.Round(BoxS / nodeS));

    /// <summary>What the residual holds, box by box, in units of the noise; what is left at the end stands in the last.</summary>
    /// <param name="noise">Variance of a node's noise, (m/s²)², [3 · line + axis].</param>
    /// <param name="box">Nodes in a box.</param>
    internal double[] Boxes(double[] noise, int box)
    {
        double[] boxes = new double[Nodes.Length == 0 ? 0 : Nodes[0].Length / box];
        for (int i = 0; i < Nodes.Length; i++)
        {
            for (int k = 0; k < boxes.Length; k++)
            {
                int to = k == boxes.Length - 1 ? Nodes[i].Length : (k + 1) * box;
                foreach (Complex node in Nodes[i].AsSpan(k * box, to - k * box))
                {
                    boxes[k] += 2 * (node.Real * node.Real + node.Imaginary * node.Imaginary) / noise[i];
                }
            }
        }

        return boxes;
    }

    /// <summary>How much more the residual holds where it holds most than it does usually, by half seconds; the ends, where lines begin, left out.</summary>
    /// <param name="noise">Variance of a node's noise, (m/s²)², [3 · line + axis].</param>
    /// <param name="nodeS">Time between nodes, s.</param>
    internal double Roughness(double[] noise, double nodeS)
    {
        double[] boxes = Boxes(noise, Box(nodeS));
        if (boxes.Length < 5)
        {
            return double.PositiveInfinity;
        }

        boxes = boxes[1..^1];
        Array.Sort(boxes);
        return boxes[^1] / boxes[boxes.Length / 2];
    }

    internal static Residual Of(WindowFits fits)
    {
        DemodulatedSegment tracked = fits.Tracked;
        int lines = tracked.Lines.Count;
        (Complex[][] rest, Complex[][] envelopes) = tracked.ResidualMemory();
        Parallel.For(0, 3 * lines, tracked.Threads, i => FillEnvelope(fits, i / 3, i % 3, envelopes[i]));
        return Of(tracked, rest, envelopes);
    }

    /// <summary>What is left when every line goes its course.</summary>
    internal static Residual Of(DemodulatedSegment tracked, Complex[][] courses) => Of(tracked, tracked.ResidualMemory().Nodes, courses);

    private static Residual Of(DemodulatedSegment tracked, Complex[][] rest, Complex[][] envelopes)
    {
        int lines = tracked.Lines.Count, nodes = tracked.Stretch.Nodes;
        double[] hz = [.. tracked.Lines.Select(l => l.ApparentHz(tracked.RotorHz(l.Rotor, 0, nodes - 1)))];
        Parallel.For(0, lines, tracked.Threads, () => new Products(nodes), (line, _, products) =>
        {
            for (int axis = 0; axis < 3; axis++)
            {
                tracked.Sums[3 * line + axis].CopyTo(rest[3 * line + axis], 0);
            }

            for (int other = 0; other < lines; other++)
            {
                if (Math.Abs(hz[other] - hz[line]) < 2 * JointFit.ReachHz)
                {
                    products.Fill(tracked, line, other);
                    for (int axis = 0; axis < 3; axis++)
                    {
                        products.TakeOff(rest[3 * line + axis], envelopes[3 * other + axis]);
                    }
                }
            }

            return products;
        }, _ => { });
        return new Residual(rest, envelopes);
    }

    /// <summary>What one line is, seen along another, node by node. In memory of its own, one a thread.</summary>
    private sealed class Products(int nodes)
    {
        private readonly double[] _response = new double[nodes];
        private readonly Complex[] _turn = new Complex[nodes];

        internal void Fill(DemodulatedSegment tracked, int line, int other)
        {
            tracked.Response(line, other, 0, _response);
            PhasorProducts.Fill(_response, tracked.Units[line].AsSpan(0, _turn.Length), tracked.Units[other].AsSpan(0, _turn.Length), _turn);
        }

        internal void TakeOff(Span<Complex> nodes, ReadOnlySpan<Complex> phasor) => PhasorProducts.TakeOff(nodes, phasor, _turn);
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
