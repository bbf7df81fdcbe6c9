namespace VibeCheck.Core.Tracks;

/// <summary>Acceleration and rate of turn of the airframe, in blocks of even sampling. Nothing is calculated across a gap.</summary>
/// <remarks>Arrays are owned by the track; all have the same length. Readers may share them between threads.</remarks>
public sealed record ImuTrack
{
    /// <summary>Blocks in rising order of time, covering all samples.</summary>
    public required IReadOnlyList<ContiguousSegment> Blocks { get; init; }

    /// <summary>Acceleration along x (forward), m/s².</summary>
    public required double[] AccXMps2 { get; init; }

    /// <summary>Acceleration along y (right), m/s².</summary>
    public required double[] AccYMps2 { get; init; }

    /// <summary>Acceleration along z (down unless <see cref="ZPointsUp"/>), m/s².</summary>
    public required double[] AccZMps2 { get; init; }

    /// <summary>Rate about x, rad/s; null when the log has none.</summary>
    public double[]? RateXRadps { get; init; }

    /// <summary>Rate about y, rad/s; null when the log has none.</summary>
    public double[]? RateYRadps { get; init; }

    /// <summary>Rate about z, rad/s; null when the log has none.</summary>
    public double[]? RateZRadps { get; init; }

    /// <summary>Steps in which the three acceleration axes were written, m/s², in the order x, y, z; 0 where that is not known.</summary>
    public IReadOnlyList<double> AccStepsMps2 { get; init; } = [0, 0, 0];

    /// <summary>Whether gravity reads positive on z: z was logged pointing up. Null when gravity is not in the log.</summary>
    public bool? ZPointsUp { get; init; }

    /// <summary>How many samples.</summary>
    public int Count => AccXMps2.Length;

    /// <summary>Sample rate, Hz: that of the longest block.</summary>
    public double RateHz => 1 / Blocks.MaxBy(b => b.SampleCount)!.PeriodS;

    /// <summary>Time of the first sample, s.</summary>
    public double StartS => Blocks[0].StartS;

    /// <summary>Time of the last sample, s.</summary>
    public double EndS => Blocks[^1].EndS;

    /// <summary>The three acceleration axes in the order x, y, z.</summary>
    public IReadOnlyList<double[]> Acceleration => [AccXMps2, AccYMps2, AccZMps2];
}
