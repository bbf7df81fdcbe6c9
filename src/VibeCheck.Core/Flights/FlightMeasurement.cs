using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>The measured results of a flight, and what later checks of the log also need.</summary>
/// <param name="Analysis">The numbers, without findings and warnings.</param>
/// <param name="FlightWithSpeeds">The flight completed with the speeds that were found in the vibration.</param>
/// <param name="HoverRuns">Samples of the IMU in the hover.</param>
/// <param name="AmbientIsFromColdStart">Whether the ambient temperature was taken from a cold start.</param>
internal sealed record FlightMeasurement(
    FlightAnalysis Analysis,
    Flight FlightWithSpeeds,
    IReadOnlyList<ContiguousSegment> HoverRuns,
    bool AmbientIsFromColdStart
);
