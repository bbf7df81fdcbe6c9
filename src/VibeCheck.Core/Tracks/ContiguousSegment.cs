namespace VibeCheck.Core.Tracks;

/// <summary>A run of samples without a gap, on an even clock.</summary>
/// <param name="FirstSample">Index of the first sample in the track's arrays.</param>
/// <param name="SampleCount">How many samples, 1 or more.</param>
/// <param name="StartS">Time of the first sample, s.</param>
/// <param name="PeriodS">Time between samples, s, above 0.</param>
public sealed record ContiguousSegment(int FirstSample, int SampleCount, double StartS, double PeriodS)
{
    /// <summary>Time of the last sample, s.</summary>
    public double EndS => StartS + (SampleCount - 1) * PeriodS;

    /// <summary>Time of a sample, s, by its index in the track's arrays.</summary>
    public double TimeOf(int sample) => StartS + (sample - FirstSample) * PeriodS;
}
