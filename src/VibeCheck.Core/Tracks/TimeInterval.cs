namespace VibeCheck.Core.Tracks;

/// <summary>A time interval on the IMU clock, seconds, from before to.</summary>
public readonly record struct TimeInterval(double FromS, double ToS)
{
    /// <summary>Length, s.</summary>
    public double Seconds => ToS - FromS;
}
