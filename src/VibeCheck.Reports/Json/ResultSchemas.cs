using System.Text.Json;
using System.Text.Json.Nodes;

namespace VibeCheck.Reports.Json;

/// <summary>The JSON Schemas of the results, declared once; docs/schemas holds them as files.</summary>
public static class ResultSchemas
{
    private static readonly JsonSerializerOptions _readable = new()
    {
        WriteIndented = true,
        NewLine = "\n",
        Encoder = JsonFields.Options.Encoder,
    };

    /// <summary>Each schema by the name of its file.</summary>
    public static IReadOnlyDictionary<string, string> All { get; } =
        new Dictionary<string, string>(StringComparer.Ordinal)
        {
            ["flight-1.json"] = Written("flight", FlightShape.Result(), FlightShape.Parts()),
            ["compare-1.json"] = Written("compare", ComparisonShape.Result(), [.. FlightShape.Parts(), .. ComparisonShape.Parts()]),
            ["shims-1.json"] = Written("shims", ShimShape.Result(), ShimShape.Parts()),
        };

    private static string Written(string name, JsonObject result, IReadOnlyList<(string Name, JsonObject Shape)> parts)
    {
        JsonObject schema = new() { ["$schema"] = "https://json-schema.org/draft/2020-12/schema", ["title"] = $"vibecheck.{name}/1" };
        foreach ((string key, JsonNode? value) in result)
        {
            schema[key] = value?.DeepClone();
        }

        JsonObject defs = [];
        foreach ((string key, JsonObject shape) in parts)
        {
            defs[key] = shape;
        }

        schema["$defs"] = defs;
        return schema.ToJsonString(_readable) + "\n";
    }
}
