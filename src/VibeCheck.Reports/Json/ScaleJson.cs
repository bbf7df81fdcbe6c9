using System.Text.Json;
using System.Text.Json.Nodes;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Reports.Text;
using static VibeCheck.Reports.Json.Shape;

namespace VibeCheck.Reports.Json;

/// <summary>One flight on a scale, as JSON.</summary>
internal static class ScaleJson
{
    /// <summary>Writes <c>scale</c>: a reading a quantity that is known.</summary>
    internal static void Write(Utf8JsonWriter json, FlightAnalysis flight, IReadOnlyList<FlightAnalysis> earlier) =>
        json.Array(
            "scale",
            FlightScale.Of(flight, earlier),
            reading =>
                json.Object(() =>
                {
                    json.WriteString("quantity", ScaleText.Code(reading.Quantity));
                    json.WriteNumber("value", reading.Value);
                    json.WriteString("unit", ScaleText.Unit(reading.Quantity));
                    json.WriteString("basis", reading.Basis == ScaleBasis.OwnFlights ? "own-flights" : "common-practice");
                    json.Number("percentile", reading.Percentile);
                    json.WriteNumber("flights", reading.Flights);
                    json.WriteString("place", reading.Place is { } place ? ScaleText.Code(place) : null);
                    json.WriteString("why", ScaleText.Why(reading));
                    json.WriteStartArray("usual");
                    json.WriteNumberValue(reading.Usual.Low);
                    json.WriteNumberValue(reading.Usual.High);
                    json.WriteEndArray();
                })
        );

    /// <summary>The shape of it.</summary>
    internal static JsonObject Declared() =>
        List(
            Fields(
                ("quantity", String()),
                ("value", Number()),
                ("unit", String()),
                ("basis", Word("own-flights", "common-practice")),
                ("percentile", NumberOrNull()),
                ("flights", Number()),
                ("place", StringOrNull()),
                ("why", String()),
                ("usual", Range())
            )
        );
}
