using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Phasors of all lines in successive windows of one stretch, fitted together.</summary>
internal sealed class WindowFits
{
    private readonly Complex[] _phasors;
    private readonly double[] _explained;
    private readonly double[] _gains;

    internal WindowFits(DemodulatedSegment tracked, int length, int[] firstNodes)
    {
        Tracked = tracked;
        Length = length;
        FirstNodes = firstNodes;
        _phasors = new Complex[3 * tracked.Lines.Count * firstNodes.Length];
        _explained = new double[_phasors.Length];
        _gains = new double[tracked.Lines.Count * firstNodes.Length];
        Hann = new double[length + 1];
        for (int j = 0; j <= length; j++)
        {
            Hann[j] = 0.5 - 0.5 * Math.Cos(Math.Tau * j / length);
        }
    }

    internal DemodulatedSegment Tracked { get; }

    /// <summary>Node intervals a window.</summary>
    internal int Length { get; }

    /// <summary>First node of each window, rising.</summary>
    internal int[] FirstNodes { get; }

    internal int Windows => FirstNodes.Length;

    /// <summary>The window's weights, at nodes 0 to <see cref="Length"/>; they sum to half of it.</summary>
    internal double[] Hann { get; }

    /// <summary>Phasors x, y, z of a line in a window, m/s² peak.</summary>
    internal Span<Complex> Phasors(int line, int window) => _phasors.AsSpan(3 * (line * Windows + window), 3);

    /// <summary>How often the noise's share counts in a line's squared phasor: 1 alone, more with neighbours; 0 where not reckoned.</summary>
    internal ref double Gain(int line, int window) => ref _gains[line * Windows + window];

    /// <summary>A line's part of the squared length that the fit takes off the samples, x, y, z; all lines together are what is explained.</summary>
    internal Span<double> Explained(int line, int window) => _explained.AsSpan(3 * (line * Windows + window), 3);

    /// <summary>Node at the middle of a window.</summary>
    internal double Centre(int window) => FirstNodes[window] + Length / 2.0;
}
