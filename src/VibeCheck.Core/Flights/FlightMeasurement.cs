using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>What was measured of a flight, and what later checks of the log need beside it.</summary>
/// <param name="Analysis">The numbers, without findings and warnings.</param>
/// <param name="FlightWithSpeeds">The flight with the speeds that were found in the vibration filled in.</param>
/// <param name="HoverRuns">Samples of the IMU in the hover.</param>
/// <param name="AmbientIsFromColdStart">Whether the ambient temperature was taken from a cold start.</param>
internal sealed record FlightMeasurement(
    FlightAnalysis Analysis,
    Flight FlightWithSpeeds,
    IReadOnlyList<ContiguousSegment> HoverRuns,
    bool AmbientIsFromColdStart
);
