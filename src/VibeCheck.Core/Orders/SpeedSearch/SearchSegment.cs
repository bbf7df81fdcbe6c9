using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>A contiguous segment of the hover without gravity and slow motion, thinned to what the search needs.</summary>
/// <param name="Axes">x, y, z, m/s², without slow motion.</param>
/// <param name="StartS">Time of the first sample, s.</param>
/// <param name="PeriodS">Time between samples, s.</param>
internal sealed record SearchSegment(double[][] Axes, double StartS, double PeriodS)
{
    internal int Count => Axes[0].Length;

    internal double Seconds => Count * PeriodS;

    /// <summary>The segments of a hover that are long enough to be searched; of a long hover the first part of each,
    /// <see cref="SpeedSearchTuning.LongestS"/> in all.</summary>
    internal static IReadOnlyList<SearchSegment> Of(ImuTrack imu, IReadOnlyList<TimeInterval> hover)
    {
        double share = Math.Min(1, SpeedSearchTuning.LongestS / hover.Sum(s => s.Seconds));
        TimeInterval[] parts = [.. hover.Select(s => new TimeInterval(s.FromS, s.FromS + share * s.Seconds))];
        return imu.Count == 0
            ? []
            :
            [
                .. DetrendedSegment
                    .Cut(imu, parts, SpeedSearchTuning.ShortestSegmentS)
                    .Select(s => new SearchSegment(s.Axes, s.StartS, s.PeriodS)),
            ];
    }

    /// <summary>Its first part.</summary>
    internal SearchSegment Head(double seconds)
    {
        int count = Math.Min(Count, (int)(seconds / PeriodS));
        return this with { Axes = Array.ConvertAll(Axes, a => a[..count]) };
    }

    /// <summary>Every second sample of a smoothed copy, again and again while half the rate stays well above
    /// <paramref name="topHz"/>.</summary>
    /// <remarks>Binomial weights 1 4 6 4 1: what folds back below a quarter of the old rate has lost a half to all of its size.</remarks>
    internal SearchSegment Thinned(double topHz)
    {
        SearchSegment at = this;
        while (0.5 / (2 * at.PeriodS) > SpeedSearchTuning.ThinningMargin * topHz)
        {
            at = new(Array.ConvertAll(at.Axes, Halved), at.StartS + 2 * at.PeriodS, 2 * at.PeriodS);
        }

        return at;
    }

    private static double[] Halved(double[] x)
    {
        double[] half = new double[Math.Max(0, (x.Length - 3) / 2)];
        for (int i = 0; i < half.Length; i++)
        {
            int c = 2 * i + 2;
            half[i] = (x[c - 2] + x[c + 2] + 4 * (x[c - 1] + x[c + 1]) + 6 * x[c]) / 16;
        }

        return half;
    }
}
