using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Phasors of all lines in successive windows of one segment, fitted together. Immutable.</summary>
internal sealed class WindowFits
{
    private readonly Complex[] _phasors;
    private readonly double[] _explained;
    private readonly double[] _inflation;

    /// <param name="demodulated">What was fitted.</param>
    /// <param name="plan">The windows.</param>
    /// <param name="phasors">m/s² peak, [3 · (line · windows + window) + axis].</param>
    /// <param name="explained">Each line's part of what the fit explains, in the same order.</param>
    /// <param name="inflation">Variance inflation, [line · windows + window]; 0 where not computed.</param>
    internal WindowFits(DemodulatedSegment demodulated, WindowPlan plan, Complex[] phasors, double[] explained, double[] inflation)
    {
        (Demodulated, Plan) = (demodulated, plan);
        (_phasors, _explained, _inflation) = (phasors, explained, inflation);
    }

    internal DemodulatedSegment Demodulated { get; }

    internal WindowPlan Plan { get; }

    /// <summary>How many windows.</summary>
    internal int Windows => Plan.First.Length;

    /// <summary>Phasors x, y, z of a line in a window, m/s² peak.</summary>
    internal ReadOnlySpan<Complex> Phasors(int line, int window) => _phasors.AsSpan(3 * (line * Windows + window), 3);

    /// <summary>How many times the noise's share counts in a line's squared phasor: 1 alone, more with neighbours; 0 where not
    /// computed.</summary>
    internal double VarianceInflation(int line, int window) => _inflation[line * Windows + window];

    /// <summary>A line's part of the squared length that the fit removes from the samples, x, y, z; all lines together are what is
    /// explained.</summary>
    internal ReadOnlySpan<double> Explained(int line, int window) => _explained.AsSpan(3 * (line * Windows + window), 3);

    /// <summary>Envelopes on straight lines between the windows' centres.</summary>
    internal EnvelopeSet Envelopes()
    {
        EnvelopeSet envelopes = Demodulated.Workspace.Rent(3 * Demodulated.Lines.Count, Demodulated.Segment.EnvelopeCount);
        Parallel.For(0, envelopes.Count, Demodulated.Workspace.Threads, i => FillEnvelope(i / 3, i % 3, envelopes[i]));
        return envelopes;
    }

    private void FillEnvelope(int line, int axis, Complex[] envelope)
    {
        int window = 0;
        for (int b = 0; b < envelope.Length; b++)
        {
            while (window < Windows - 2 && Plan.Centre(window + 1) < b)
            {
                window++;
            }

            int next = Math.Min(window + 1, Windows - 1);
            double share = next == window ? 0 : Math.Clamp((b - Plan.Centre(window)) / (Plan.Centre(next) - Plan.Centre(window)), 0, 1);
            envelope[b] = Between(Phasors(line, window)[axis], Phasors(line, next)[axis], share);
        }
    }

    private static Complex Between(Complex left, Complex right, double share) =>
        new(left.Real + share * (right.Real - left.Real), left.Imaginary + share * (right.Imaginary - left.Imaginary));
}
