using System.Numerics;

namespace VibeCheck.Core.Signals.Orders;

/// <summary>Phasors of all lines in successive windows of one stretch, fitted together. A phasor is one number a window, or a number and
/// a slope against the rotor's speed.</summary>
internal sealed class WindowFits
{
    private readonly Complex[] _phasors;
    private readonly double[] _gains;
    private readonly double[] _squares;
    private readonly double[] _explained;

    internal WindowFits(TrackedStretch tracked, int terms, int length, int[] firstNodes)
    {
        Tracked = tracked;
        Terms = terms;
        Length = length;
        FirstNodes = firstNodes;
        _phasors = new Complex[3 * terms * tracked.Lines.Count * firstNodes.Length];
        _gains = new double[tracked.Lines.Count * firstNodes.Length];
        _squares = new double[3 * tracked.Lines.Count * firstNodes.Length];
        _explained = new double[_squares.Length];
        Hann = new double[length + 1];
        for (int j = 0; j <= length; j++)
        {
            Hann[j] = 0.5 - 0.5 * Math.Cos(Math.Tau * j / length);
        }
    }

    internal TrackedStretch Tracked { get; }

    /// <summary>1: phasors stand still within a window; 2: they go with speed on a straight line.</summary>
    internal int Terms { get; }

    /// <summary>Node intervals a window.</summary>
    internal int Length { get; }

    /// <summary>Length, s.</summary>
    internal double Seconds => Length * Tracked.Stretch.NodeS;

    /// <summary>First node of each window, rising.</summary>
    internal int[] FirstNodes { get; }

    internal int Windows => FirstNodes.Length;

    /// <summary>The window's weights, at nodes 0 to <see cref="Length"/>; they sum to half of it.</summary>
    internal double[] Hann { get; }

    /// <summary>Phasors x, y, z of a line in a window, m/s² peak; term 1 is the slope, per standard deviation of the speed.</summary>
    internal Span<Complex> Phasors(int line, int term, int window) => _phasors.AsSpan(3 * ((line * Terms + term) * Windows + window), 3);

    /// <summary>How often the noise's share counts in a line's mean squared phasor: the terms, times what neighbours cost; infinite when
    /// not solvable.</summary>
    internal ref double Gain(int line, int window) => ref _gains[line * Windows + window];

    /// <summary>Mean squared phasor x, y, z of a line over a window, noise included, (m/s²)² peak.</summary>
    internal Span<double> Squares(int line, int window) => _squares.AsSpan(3 * (line * Windows + window), 3);

    /// <summary>A line's part of the squared length that the fit takes off the samples, x, y, z; all lines together are what is explained.</summary>
    internal Span<double> Explained(int line, int window) => _explained.AsSpan(3 * (line * Windows + window), 3);

    /// <summary>Node at the middle of a window.</summary>
    internal double Centre(int window) => FirstNodes[window] + Length / 2.0;
}
