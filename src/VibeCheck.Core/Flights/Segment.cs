namespace VibeCheck.Core.Flights;

/// <summary>A stretch of flight time on the IMU clock, seconds, from before to.</summary>
public readonly record struct Segment(double FromS, double ToS)
{
    /// <summary>Length, s.</summary>
    public double Seconds => ToS - FromS;
}
