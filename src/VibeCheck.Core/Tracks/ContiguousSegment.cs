namespace VibeCheck.Core.Tracks;

/// <summary>A run of samples without a gap, on an even clock.</summary>
/// <param name="FirstSample">Index of the first sample in the track's arrays.</param>
/// <param name="SampleCount">How many samples, 1 or more.</param>
/// <param name="StartS">Time of the first sample, s.</param>
/// <param name="PeriodS">Time between samples, s, above 0.</param>
public sealed record ContiguousSegment(int FirstSample, int SampleCount, double StartS, double PeriodS)
{
    /// <summary>Share of a sample by which a time may miss an interval's end: takes up the rounding of the clock.</summary>
    private const double ClockRounding = 1e-6;

    /// <summary>Time of the last sample, s.</summary>
    public double EndS => StartS + (SampleCount - 1) * PeriodS;

    /// <summary>Time of a sample, s, by its index in the track's arrays.</summary>
    public double TimeOf(int sample) => StartS + (sample - FirstSample) * PeriodS;

    /// <summary>The parts of a track that lie both within one of its segments and within an
    /// interval, in order of time. A sample counts when
    /// its time lies within the interval.</summary>
    /// <param name="imu">The track.</param>
    /// <param name="intervals">Intervals on the IMU clock.</param>
    public static IReadOnlyList<ContiguousSegment> Within(ImuTrack imu, IReadOnlyList<TimeInterval> intervals)
    {
        ArgumentNullException.ThrowIfNull(imu);
        ArgumentNullException.ThrowIfNull(intervals);
        List<ContiguousSegment> parts = [];
        foreach (ContiguousSegment block in imu.Blocks)
        {
            foreach (TimeInterval interval in intervals)
            {
                if (block.Within(interval) is { } part)
                {
                    parts.Add(part);
                }
            }
        }

        return parts;
    }

    private ContiguousSegment? Within(TimeInterval interval)
    {
        int first = (int)Math.Max(0, Math.Ceiling((interval.FromS - StartS) / PeriodS - ClockRounding));
        int last = (int)Math.Min(SampleCount - 1, Math.Floor((interval.ToS - StartS) / PeriodS + ClockRounding));
        return last < first ? null : new(FirstSample + first, last - first + 1, StartS + first * PeriodS, PeriodS);
    }
}
