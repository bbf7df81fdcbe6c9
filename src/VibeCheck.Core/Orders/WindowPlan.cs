namespace VibeCheck.Core.Orders;

/// <summary>Hann windows with half overlap over the envelope samples of a segment.</summary>
/// <param name="Length">Steps a window.</param>
/// <param name="First">First sample of each window, rising.</param>
/// <param name="Hann">The window's weights at samples 0 to <paramref name="Length"/>; they sum to half of it.</param>
internal sealed record WindowPlan(int Length, int[] First, double[] Hann)
{
    /// <summary>Plans windows; a shorter segment is one window.</summary>
    internal static WindowPlan Of(DetrendedSegment segment, double seconds)
    {
        int length = Math.Min(segment.Intervals, Math.Max(4, 2 * (int)Math.Round(seconds / segment.EnvelopeS / 2)));
        int count = Math.Max(1, (int)Math.Ceiling((segment.Intervals - length) / (length / 2.0) - 0.25) + 1);
        int[] first = new int[count];
        for (int w = 0; w < count; w++)
        {
            first[w] = count == 1 ? 0 : (int)Math.Round((double)w * (segment.Intervals - length) / (count - 1));
        }

        return new WindowPlan(length, first, [.. Enumerable.Range(0, length + 1).Select(j => 0.5 - 0.5 * Math.Cos(Math.Tau * j / length))]);
    }

    /// <summary>Sample at the centre of a window.</summary>
    internal double Centre(int window) => First[window] + Length / 2.0;
}
