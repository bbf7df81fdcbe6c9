using System.Text.Json.Nodes;

namespace VibeCheck.Reports.Json;

/// <summary>The shapes of which the JSON Schemas of the results are made (JSON Schema, draft 2020-12).</summary>
internal static class Shape
{
    internal static JsonObject String() => Of("string");

    internal static JsonObject StringOrNull() => OrNull("string");

    internal static JsonObject Number() => Of("number");

    internal static JsonObject NumberOrNull() => OrNull("number");

    internal static JsonObject Whole() => Of("integer");

    internal static JsonObject WholeOrNull() => OrNull("integer");

    internal static JsonObject Flag() => Of("boolean");

    internal static JsonObject FlagOrNull() => OrNull("boolean");

    /// <summary>One of some fixed words.</summary>
    internal static JsonObject Word(params string[] words) =>
        new() { ["enum"] = new JsonArray([.. words.Select(w => JsonValue.Create(w))]) };

    /// <summary>One fixed word or null.</summary>
    internal static JsonObject WordOrNull(params string[] words) =>
        new() { ["enum"] = new JsonArray([.. words.Select(w => JsonValue.Create(w)), null]) };

    /// <summary>Exactly this text.</summary>
    internal static JsonObject Fixed(string text) => new() { ["const"] = text };

    internal static JsonObject List(JsonObject items) => new() { ["type"] = "array", ["items"] = items };

    /// <summary>An object of its own that is described once.</summary>
    internal static JsonObject Ref(string name) => new() { ["$ref"] = "#/$defs/" + name };

    internal static JsonObject OrNull(JsonObject shape) => new() { ["anyOf"] = new JsonArray(shape, Of("null")) };

    /// <summary>The two ends of an interval, or null.</summary>
    internal static JsonObject Range() =>
        new()
        {
            ["type"] = new JsonArray("array", "null"),
            ["items"] = Number(),
            ["minItems"] = 2,
            ["maxItems"] = 2,
        };

    /// <summary>Why something is not known: words, with code and numbers beside them.</summary>
    internal static (string Name, JsonObject Shape)[] Why() => [("why", StringOrNull()), ("reason", Reason())];

    /// <summary>A cause with its numbers, or null.</summary>
    internal static JsonObject Reason() => OrNull(Ref("cause"));

    /// <summary>A cause: its code, and beside it numbers that depend on the code.</summary>
    internal static JsonObject Cause() =>
        new()
        {
            ["type"] = "object",
            ["properties"] = new JsonObject
            {
                ["code"] = new JsonObject { ["type"] = "string", ["pattern"] = "^[a-z0-9]+(-[a-z0-9]+)*$" },
            },
            ["required"] = new JsonArray("code"),
        };

    /// <summary>An object with these fields, all of them required, and no others.</summary>
    internal static JsonObject Fields(params (string Name, JsonObject Shape)[] fields) => SomeFields([], fields);

    /// <summary>An object with these fields and no others; some may be missing.</summary>
    internal static JsonObject SomeFields(string[] optional, params (string Name, JsonObject Shape)[] fields)
    {
        JsonObject properties = [];
        JsonArray required = [];
        foreach ((string name, JsonObject shape) in fields)
        {
            properties[name] = shape;
            if (!optional.Contains(name))
            {
                required.Add(name);
            }
        }

        return new()
        {
            ["type"] = "object",
            ["properties"] = properties,
            ["required"] = required,
            ["additionalProperties"] = false,
        };
    }

    private static JsonObject Of(string type) => new() { ["type"] = type };

    private static JsonObject OrNull(string type) => new() { ["type"] = new JsonArray(type, "null") };
}
