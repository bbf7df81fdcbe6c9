using System.Text.Json.Nodes;
using System.Text.RegularExpressions;

namespace VibeCheck.Tests;

/// <summary>Finds fields of a result that are null without a reason. According to docs/reading-the-report.md <c>null</c> has a <c>why</c>
/// beside it where something is unknown.</summary>
internal static partial class UnexplainedNulls
{
    // Here null means that something does not apply, not that it is unknown: a line that is not folded, a call that is not "no clear
    // change", the rest of a part, which belongs to no motor, and sections about data that the flight does not have.
    private static readonly string[] s_doesNotApply = ["folded_from_hz", "smallest_shown", "motor", "group", "accounting"];

    // A cause is itself the explanation.
    private static readonly string[] s_explanations = ["why", "tilt_why", "reason", "causes", "values"];

    /// <summary>Paths of such fields.</summary>
    internal static IReadOnlyList<string> In(JsonNode? result) => [.. Found(result, "$")];

    /// <summary>Number of fields that are null and have a reason.</summary>
    internal static int Explained(JsonNode? result) =>
        Objects(result, "$").Sum(o => o.Object.Count(f => f.Value is null && IsAsked(f.Key) && IsExplained(o.Object, f.Key)));

    private static IEnumerable<string> Found(JsonNode? result, string path) =>
        Objects(result, path)
            .SelectMany(o =>
                o.Object.Where(f => f.Value is null && IsAsked(f.Key) && !IsExplained(o.Object, f.Key)).Select(f => $"{o.Path}.{f.Key}")
            );

    private static bool IsAsked(string field) => !s_doesNotApply.Contains(field) && !s_explanations.Contains(field);

    /// <summary>A reason that begins with the name of a field is a list of reasons, one for each field that is null. The interval of a
    /// quantity has no reason of its own.</summary>
    private static bool IsExplained(JsonObject owner, string field)
    {
        string? why = (string?)(
            owner["why"] ?? (field.StartsWith("tilt_", StringComparison.Ordinal) || field == "u95_deg" ? owner["tilt_why"] : null)
        );
        if (string.IsNullOrWhiteSpace(why))
        {
            return false;
        }

        string[] named = [.. FieldName().Matches(why).Select(m => m.Groups[1].Value).Where(owner.ContainsKey)];
        return named.Length == 0 || named.Contains(field) || field.Contains("ci95", StringComparison.Ordinal);
    }

    private static IEnumerable<(string Path, JsonObject Object)> Objects(JsonNode? node, string path) =>
        node switch
        {
            JsonObject o => o.Where(p => !s_explanations.Contains(p.Key))
                .SelectMany(p => Objects(p.Value, $"{path}.{p.Key}"))
                .Prepend((path, o)),
            JsonArray a => a.SelectMany((item, i) => Objects(item, $"{path}[{i}]")),
            _ => [],
        };

    [GeneratedRegex(@"(?:^|; )([a-z0-9_]+): ")]
    private static partial Regex FieldName();
}
