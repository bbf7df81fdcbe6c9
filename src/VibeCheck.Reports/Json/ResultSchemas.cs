using System.Text.Json.Nodes;
using System.Text.Json.Schema;
using System.Text.Json.Serialization.Metadata;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Json;

/// <summary>The JSON Schemas of the results (draft 2020-12), generated from the types that write them; docs/schemas holds
/// them as files.</summary>
public static class ResultSchemas
{
    /// <summary>Marks the schema of a part until it is moved to <c>$defs</c>.</summary>
    private const string PartMark = "$part";

    /// <summary>Objects that a schema describes once and refers to by name.</summary>
    private static readonly Dictionary<Type, string> s_parts = new()
    {
        [typeof(FlightFields)] = "flight",
        [typeof(FileFields)] = "file",
        [typeof(SegmentFields)] = "segment",
        [typeof(LineFields)] = "line",
        [typeof(TemperatureFields)] = "temperature",
        [typeof(QualityFields)] = "quality",
        [typeof(FindingFields)] = "finding",
        [typeof(CallFields)] = "call",
        [typeof(TiltFields)] = "tilt",
        [typeof(SpreadFields)] = "spread",
        [typeof(BoltFields)] = "bolt",
        [typeof(MoveFields)] = "move",
        [typeof(Reason)] = "cause",
    };

    /// <summary>Each schema by the name of its file.</summary>
    public static IReadOnlyDictionary<string, string> All { get; } =
        new Dictionary<string, string>(StringComparer.Ordinal)
        {
            ["flight-1.json"] = Written<FlightFields>("flight"),
            ["compare-1.json"] = Written<ComparisonFields>("compare"),
            ["history-1.json"] = Written<HistoryFields>("history"),
            ["read-1.json"] = Written<ReadingFields>("read"),
            ["shims-1.json"] = Written<ShimPlanFields>("shims"),
            ["chart-1.json"] = Written<ShimChartFields>("chart"),
        };

    private static string Written<T>(string name)
    {
        JsonSchemaExporterOptions exact = new() { TreatNullObliviousAsNonNullable = true, TransformSchemaNode = Transformed };
        JsonObject whole = ResultOptions.Default.GetJsonSchemaAsNode(typeof(T), exact).AsObject();
        whole.Remove(PartMark);
        SortedDictionary<string, JsonNode?> parts = new(StringComparer.Ordinal);
        JsonObject schema = new() { ["$schema"] = "https://json-schema.org/draft/2020-12/schema", ["title"] = $"vibecheck.{name}/1" };
        foreach ((string key, JsonNode? value) in whole)
        {
            schema[key] = WithParts(value, whole, parts);
        }

        if (parts.Count > 0)
        {
            schema["$defs"] = new JsonObject(parts);
        }

        return schema.ToJsonString(ResultOptions.Default) + "\n";
    }

    /// <summary>A copy in which each part is described once and referred to by name. The exporter itself describes an object where it
    /// first occurs and refers to that place afterwards.</summary>
    private static JsonNode? WithParts(JsonNode? node, JsonObject whole, SortedDictionary<string, JsonNode?> parts)
    {
        if (node is JsonArray list)
        {
            return new JsonArray([.. list.Select(item => WithParts(item, whole, parts))]);
        }

        if (node is not JsonObject shape)
        {
            return node?.DeepClone();
        }

        if (shape["$ref"] is JsonValue place)
        {
            return WithParts(At(place.GetValue<string>(), whole), whole, parts);
        }

        if (shape[PartMark] is not JsonValue mark)
        {
            return Copied(shape, whole, parts);
        }

        string part = mark.GetValue<string>();
        if (!parts.ContainsKey(part))
        {
            parts[part] = null;
            JsonObject own = Copied(shape, whole, parts);
            own["type"] = "object";
            parts[part] = own;
        }

        JsonObject reference = new() { ["$ref"] = "#/$defs/" + part };
        return shape["type"] is JsonArray
            ? new JsonObject { ["anyOf"] = new JsonArray(reference, new JsonObject { ["type"] = "null" }) }
            : reference;
    }

    private static JsonObject Copied(JsonObject shape, JsonObject whole, SortedDictionary<string, JsonNode?> parts) =>
        new(shape.Where(f => f.Key != PartMark).Select(f => KeyValuePair.Create(f.Key, WithParts(f.Value, whole, parts))));

    /// <summary>The node at a JSON pointer of the exporter.</summary>
    private static JsonNode? At(string pointer, JsonObject whole) =>
        pointer.Split('/').Skip(1).Aggregate((JsonNode?)whole, (node, step) => node![step]);

    private static JsonNode Transformed(JsonSchemaExporterContext context, JsonNode shape)
    {
        Type type = context.TypeInfo.Type;
        bool mayBeNull = context.PropertyInfo?.IsGetNullable ?? Nullable.GetUnderlyingType(type) is not null;
        if (Converted(Nullable.GetUnderlyingType(type) ?? type) is JsonObject converted)
        {
            shape = mayBeNull ? WithNull(converted) : converted;
        }
        else if (context.TypeInfo.Kind == JsonTypeInfoKind.Object)
        {
            OnlyTheseFields(shape.AsObject(), context.TypeInfo);
        }
        else if (context.PropertyInfo is { } field && ResultModifiers.Attribute<OneOfAttribute>(field) is { } words)
        {
            shape = OneOf(words.Words, mayBeNull);
        }

        if (s_parts.TryGetValue(type, out string? part))
        {
            shape[PartMark] = part;
        }

        return shape;
    }

    /// <summary>The schema of what a converter writes, which the exporter cannot know; null for types without a converter.</summary>
    private static JsonObject? Converted(Type type) =>
        type == typeof(double) ? new() { ["type"] = "number" }
        : type == typeof(NumbersOf) ? new() { ["type"] = "object" }
        : type == typeof(Interval)
            ? new()
            {
                ["type"] = "array",
                ["items"] = new JsonObject { ["type"] = "number" },
                ["minItems"] = 2,
                ["maxItems"] = 2,
            }
        : type == typeof(Reason)
            ? new()
            {
                // A code, and numbers that depend on the code.
                ["type"] = "object",
                ["properties"] = new JsonObject
                {
                    ["code"] = new JsonObject { ["type"] = "string", ["pattern"] = "^[a-z0-9]+(-[a-z0-9]+)*$" },
                },
                ["required"] = new JsonArray("code"),
            }
        : null;

    private static JsonObject WithNull(JsonObject shape)
    {
        shape["type"] = new JsonArray(shape["type"]!.DeepClone(), "null");
        return shape;
    }

    /// <summary>All fields are required except those that may be missing, and no other fields are allowed.</summary>
    private static void OnlyTheseFields(JsonObject shape, JsonTypeInfo type)
    {
        shape["required"] = new JsonArray([
            .. type.Properties.Where(p => p.ShouldSerialize is null).Select(p => (JsonNode)JsonValue.Create(p.Name)),
        ]);
        shape["additionalProperties"] = false;
    }

    private static JsonObject OneOf(IReadOnlyList<string> words, bool orNull) =>
        words is [string only] && !orNull
            ? new() { ["const"] = only }
            : new()
            {
                ["enum"] = new JsonArray([.. words.Select(w => (JsonNode)JsonValue.Create(w)), .. orNull ? [null] : (JsonNode?[])[]]),
            };
}
