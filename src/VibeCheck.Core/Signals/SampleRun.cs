using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Signals;

/// <summary>Samples that follow each other evenly, without a gap.</summary>
/// <param name="First">Index of the first in the track's arrays.</param>
/// <param name="Count">How many, 1 or more.</param>
public readonly record struct SampleRun(int First, int Count)
{
    /// <summary>The stretches of a track that lie both within a clock block and within a segment, in order of time.</summary>
    /// <param name="imu">The track.</param>
    /// <param name="segments">Segments on the IMU clock.</param>
    public static IReadOnlyList<SampleRun> Within(ImuTrack imu, IReadOnlyList<TimeInterval> segments)
    {
        ArgumentNullException.ThrowIfNull(imu);
        ArgumentNullException.ThrowIfNull(segments);
        List<SampleRun> runs = [];
        foreach (ContiguousSegment block in imu.Blocks)
        {
            foreach (TimeInterval segment in segments)
            {
                // A sample counts when its time lies within the segment; the tiny allowance takes up rounding of the clock.
                double from = Math.Ceiling((segment.FromS - block.StartS) / block.PeriodS - 1e-6);
                double to = Math.Floor((segment.ToS - block.StartS) / block.PeriodS + 1e-6);
                int first = (int)Math.Max(0, from), last = (int)Math.Min(block.SampleCount - 1, to);
                if (last >= first)
                {
                    runs.Add(new(block.FirstSample + first, last - first + 1));
                }
            }
        }

        return runs;
    }
}
