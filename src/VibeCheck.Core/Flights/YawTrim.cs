using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>The source of the yaw trim.</summary>
public enum YawTrimSource
{
    /// <summary>Rotor speeds.</summary>
    Rpm,

    /// <summary>Motor commands, because speeds are missing.</summary>
    Command,
}

/// <summary>Yaw trim: (mean of cw motors - mean of ccw motors) / mean of all.</summary>
public sealed record YawTrim(Estimate Split, YawTrimSource From);
