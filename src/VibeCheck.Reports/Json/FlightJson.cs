using VibeCheck.Core.Flights;

namespace VibeCheck.Reports.Json;

/// <summary>The machine-readable result of one flight, schema vibecheck.flight/1.</summary>
public static class FlightJson
{
    /// <summary>Writes the result as UTF-8; the stream stays open. Units are in the field names; an unknown amount is null, and <c>why</c>
    /// beside it gives the reason.</summary>
    public static void Write(FlightAnalysis flight, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ResultOptions.Write(stream, new FlightFields(flight));
    }
}
