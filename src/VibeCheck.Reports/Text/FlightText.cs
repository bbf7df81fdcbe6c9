using VibeCheck.Core.Flights;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Text;

/// <summary>Sentences about one flight that console and page share.</summary>
internal static class FlightText
{
    /// <summary>Text for a flight without findings: it claims that nothing stands out only for motors whose vibration is known.</summary>
    internal static string NothingFound(FlightAnalysis flight)
    {
        string[] unknown =
        [
            .. flight.Motors.Where(m => !m.Orders.Any(o => o.RmsMps2.IsKnown || o.GroupMps2?.IsKnown == true)).Select(m => m.Id),
        ];
        return unknown.Length == 0 && flight.Motors.Count > 0 ? $"Nothing stands out in this flight. {CheckedText.Of(flight)}"
            : unknown.Length == flight.Motors.Count
                ? $"Whether one of the motors stands out is not known: "
                    + $"{ReasonText.Clause(flight.RotorVibrationMps2.Why)}"
                    + $".{(flight.Hover.Segments.Count == 0 ? "" : " " + CheckedText.Of(flight))}"
            : $"Nothing stands out among the other motors; the vibration of {Grammar.List(unknown)} is not known. {CheckedText.Of(flight)}";
    }

    /// <summary>What was odd about the logs when they were read, each once.</summary>
    internal static IReadOnlyList<string> LogWarnings(FlightAnalysis flight) =>
        [
            .. new[] { flight.Input.Imu, flight.Input.Esc }
                .OfType<FileRecord>()
                .SelectMany(f => f.Warnings)
                .Select(w => Grammar.Sentence(w.Text))
                .Distinct(),
        ];

    /// <summary>What is missing without an airframe file; null where one was given.</summary>
    internal static string? WithoutAirframe(FlightAnalysis flight) =>
        flight.Warnings.FirstOrDefault(w => w.Code == "no-airframe") is { } warning ? ReasonText.Of(warning.Cause) : null;
}
