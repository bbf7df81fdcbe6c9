using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>Speeds found in the vibration.</summary>
public sealed record SpeedSearchResult
{
    /// <summary>One for each requested motor without its own speed, in the given order.</summary>
    public required IReadOnlyList<FoundSpeed> Motors { get; init; }

    /// <summary>Mean speeds of the lines that are separated, rpm, rising, whichever motor they belong to; empty when no rotor is
    /// seen.</summary>
    public IReadOnlyList<double> LinesRpm { get; init; } = [];

    /// <summary>Why no rotor is seen at all; null when some are.</summary>
    public Reason? Why { get; init; }
}

/// <summary>The speed of one motor as found in the vibration.</summary>
public sealed record FoundSpeed
{
    /// <summary>The motor.</summary>
    public required string MotorId { get; init; }

    /// <summary>Rotor speed, rpm, twenty a second over the time searched; null when it could not be found, or not be told whose it
    /// is.</summary>
    public Series? Rpm { get; init; }

    /// <summary>Mean over the time searched, rpm, with its 95 % interval, or the reason why there is none.</summary>
    public required Estimate MeanRpm { get; init; }

    /// <summary>By how many standard deviations the vibration prefers this line to the next best for this motor; null when no other is
    /// left, or none was found.</summary>
    public double? Lead { get; init; }

    /// <summary>The likeliest speed, given or not: for trials of the search. Null when there is none.</summary>
    internal Series? Guess { get; init; }
}
