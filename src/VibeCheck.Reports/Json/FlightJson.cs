using VibeCheck.Core.Flights;

namespace VibeCheck.Reports.Json;

/// <summary>The machine-readable result of one flight, schema vibecheck.flight/1.</summary>
public static class FlightJson
{
    /// <summary>Writes the result as UTF-8. Units stand in the field names; what is unknown is null with a why beside it.</summary>
    public static void Write(FlightAnalysis flight, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ResultOptions.Write(stream, new FlightFields(flight));
    }
}
