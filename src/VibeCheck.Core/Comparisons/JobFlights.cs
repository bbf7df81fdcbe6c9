using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Comparisons;

/// <summary>A job with its flights already read.</summary>
public sealed record JobFlights
{
    /// <summary>Title of the job.</summary>
    public required string Title { get; init; }

    /// <summary>The airframe of all flights.</summary>
    public required Airframe Airframe { get; init; }

    /// <summary>The survey between the flights; null without one.</summary>
    public Survey? Survey { get; init; }

    /// <summary>Flights before the work, one or more.</summary>
    public required IReadOnlyList<Flight> Before { get; init; }

    /// <summary>Flights after the work, one or more.</summary>
    public required IReadOnlyList<Flight> After { get; init; }
}
