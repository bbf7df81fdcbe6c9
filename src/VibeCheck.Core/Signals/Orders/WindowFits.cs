using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>Phasors of all lines in successive windows of one stretch, fitted together.</summary>
internal sealed class WindowFits
{
    private readonly Complex[] _phasors;
    private readonly double[] _gains;

    internal WindowFits(TrackedStretch tracked, int length, int[] firstNodes)
    {
        Tracked = tracked;
        Length = length;
        FirstNodes = firstNodes;
        _phasors = new Complex[3 * tracked.Lines.Count * firstNodes.Length];
        _gains = new double[tracked.Lines.Count * firstNodes.Length];
        Hann = Enumerable.Range(0, length + 1).Select(j => 0.5 - 0.5 * Math.Cos(Math.Tau * j / length)).ToArray();
    }

    internal TrackedStretch Tracked { get; }

    /// <summary>Node intervals a window.</summary>
    internal int Length { get; }

    /// <summary>Length, s.</summary>
    internal double Seconds => Length * Tracked.Stretch.NodeS;

    /// <summary>First node of each window, rising.</summary>
    internal int[] FirstNodes { get; }

    internal int Windows => FirstNodes.Length;

    /// <summary>The window's weights, at nodes 0 to <see cref="Length"/>; they sum to half of it.</summary>
    internal double[] Hann { get; }

    /// <summary>Phasors x, y, z of a line in a window, m/s² peak.</summary>
    internal Span<Complex> Phasors(int line, int window) => _phasors.AsSpan(3 * (line * Windows + window), 3);

    /// <summary>How much the neighbours raise the variance of a line's phasor in a window, 1 or more; infinite when not solvable.</summary>
    internal ref double Gain(int line, int window) => ref _gains[line * Windows + window];

    /// <summary>Sum of the squared phasors over the axes.</summary>
    internal double Squared(int line, int window)
    {
        double sum = 0;
        foreach (Complex c in Phasors(line, window))
        {
            sum += c.Real * c.Real + c.Imaginary * c.Imaginary;
        }

        return sum;
    }

    /// <summary>Node at the middle of a window.</summary>
    internal double Centre(int window) => FirstNodes[window] + Length / 2.0;
}
