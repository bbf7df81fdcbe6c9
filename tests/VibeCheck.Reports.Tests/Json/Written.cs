using System.Text.Json.Nodes;

namespace VibeCheck.Reports.Tests.Json;

/// <summary>Results read back by an independent parser.</summary>
internal static class Written
{
    internal static JsonObject Json(Action<Stream> write)
    {
        using var stream = new MemoryStream();
        write(stream);
        return JsonNode.Parse(stream.ToArray())!.AsObject();
    }

    internal static IEnumerable<(string Path, JsonObject Object)> Objects(JsonNode? node, string path = "$") =>
        node switch
        {
            JsonObject o => o.SelectMany(p => Objects(p.Value, $"{path}.{p.Key}")).Prepend((path, o)),
            JsonArray a => a.SelectMany((item, i) => Objects(item, $"{path}[{i}]")),
            _ => [],
        };

    /// <summary>Asserts that every field of a list of paths, such as "schema hover.segments motors[].id", exists.</summary>
    internal static void HasFields(JsonNode root, string paths)
    {
        foreach (string path in paths.Split([' ', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries))
        {
            Follow(root, path.Split('.'), path);
        }
    }

    private static void Follow(JsonNode? node, ReadOnlySpan<string> steps, string path)
    {
        if (steps.Length == 0)
        {
            return;
        }

        bool list = steps[0].EndsWith("[]", StringComparison.Ordinal);
        string name = list ? steps[0][..^2] : steps[0];
        var parent = Assert.IsType<JsonObject>(node);
        Assert.True(parent.ContainsKey(name), $"{path}: no field '{name}' in {string.Join(", ", parent.Select(p => p.Key))}");
        if (!list)
        {
            Follow(parent[name], steps[1..], path);
            return;
        }

        var items = Assert.IsType<JsonArray>(parent[name]);
        Assert.True(items.Count > 0, $"{path}: '{name}' is empty, so the example shows nothing");
        foreach (JsonNode? item in items)
        {
            Follow(item, steps[1..], path);
        }
    }
}
