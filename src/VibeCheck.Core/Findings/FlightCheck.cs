using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Findings;

/// <summary>The whole check of one flight: faults of its log, measurements, the effects of the faults, findings and warnings.</summary>
public static class FlightCheck
{
    /// <summary>All results that a flight gives about an aircraft.</summary>
    /// <param name="flight">The flight, from a log or made by other means.</param>
    /// <param name="airframe">Its aircraft.</param>
    /// <param name="options">What to calculate, where the defaults do not fit; null for the defaults.</param>
    /// <returns>Never fails on a flight with little data: what it cannot give is unknown, with the reason. Without a hover, the hover is
    /// empty and so are the lists that depend on it.</returns>
    /// <example><code>
    /// FlightAnalysis analysis = FlightCheck.Of(flight, airframe);
    /// double? order1 = analysis.Motors[0].Orders[0].RmsMps2.Value;
    /// </code></example>
    public static FlightAnalysis Of(Flight flight, Airframe airframe, AnalysisOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ArgumentNullException.ThrowIfNull(airframe);
        Flight judged = TelemetryQuality.Checked(flight, airframe);
        FlightMeasurement measured = new FlightAnalyzer(judged, airframe, options ?? new()).Run();

        // Uses the readings before any repair: a rotor that loses half its speed looks like an impossible reading.
        PowerTrain power = PowerTrain.Of(flight, airframe, measured.Analysis.Hover.Segments);
        FlightAnalysis analysis = QualityEffects.Apply(measured.Analysis with { PowerTrain = power }, Issues(judged, measured));
        IReadOnlyList<Finding> findings = FlightFindings.Of(judged, analysis, measured.Analysis);
        return analysis with
        {
            Findings = findings,
            Onsets = OnsetSearch.Of(analysis, measured.Analysis, findings),
            Warnings = FlightWarnings.Of(judged, analysis, measured.AmbientIsFromColdStart),
        };
    }

    private static IReadOnlyList<QualityIssue> Issues(Flight flight, FlightMeasurement measured) =>
        [
            .. flight.Quality,
            .. GravityCheck.Of(flight.Imu, measured.HoverRuns),
            .. AlternatingRows.Of(measured.Analysis),
            .. RatesInAcceleration.Of(flight.Imu, measured.HoverRuns),
            .. CoarseAcceleration.Of(flight.Imu, measured.HoverRuns),
            .. SlewLimit.Of(flight.Imu, measured.HoverRuns),
            .. AxisSteadiness.Of(flight.Imu, measured.HoverRuns),
            .. SampleTimes.Of(flight.Imu, measured.HoverRuns, measured.Analysis),
            .. SignalShape.Of(flight.Imu, measured.HoverRuns, measured.Analysis),
            .. TemperatureQuality.Of(flight, measured.Analysis),
            .. LineFollowing.Of(measured.FlightWithSpeeds, measured.Analysis.Airframe, measured.HoverRuns, measured.Analysis),
            .. SilentRotor.Of(measured.Analysis),
            .. HoverPieces.Of(flight.Imu, measured.Analysis),
        ];
}
