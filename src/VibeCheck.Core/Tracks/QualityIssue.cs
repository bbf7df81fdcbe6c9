using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Tracks;

/// <summary>A fault of a log that the data shows, and what was done about it.</summary>
public sealed record QualityIssue
{
    /// <summary>What is wrong, with its numbers.</summary>
    public required Reason Cause { get; init; }

    /// <summary>Where it is: <c>imu</c>, <c>telemetry</c>, <c>clock</c>, <c>ambient</c> or <c>job</c>.</summary>
    public required string Track { get; init; }

    /// <summary>The column, such as <c>acc_x</c> or <c>M3 motor_temp</c>; null when it is the track as a whole.</summary>
    public string? Channel { get; init; }

    /// <summary>The motor whose answers it reaches; null when it reaches those of all.</summary>
    public string? Motor { get; init; }

    /// <summary>When, on the flight's clock; null when it is the whole flight.</summary>
    public TimeInterval? When { get; init; }

    /// <summary>What was done about it.</summary>
    public required QualityEffect Effect { get; init; }

    /// <summary>Which answers it reaches.</summary>
    public required Answers Affects { get; init; }

    /// <summary>Standard uncertainty that it adds to the level of each order and of their total, dB; 0 for none.</summary>
    public double AddedDb { get; init; }

    /// <summary>Standard uncertainty that it adds to each steady rise that it reaches, °C; 0 for none.</summary>
    public double AddedC { get; init; }
}
