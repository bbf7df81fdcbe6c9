using System.Text.Json;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Json;

/// <summary>A cause as an object: its code and its numbers.</summary>
internal static class ReasonJson
{
    private static readonly JsonSerializerOptions _snakeCase = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        Converters = { new System.Text.Json.Serialization.JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower) },
    };

    /// <summary>Writes <c>{"code": ..}</c> and beside it each property of the record; null for null.</summary>
    internal static void Write(Utf8JsonWriter json, Reason? reason)
    {
        if (reason is null)
        {
            json.WriteNullValue();
            return;
        }

        json.WriteStartObject();
        json.WriteString("code", reason.Code);
        if (reason is not Sentence)
        {
            Values(json, reason);
        }

        json.WriteEndObject();
    }

    /// <summary>The record's own properties, names in snake case.</summary>
    internal static void Values(Utf8JsonWriter json, Reason reason)
    {
        using JsonDocument all = JsonSerializer.SerializeToDocument(reason, reason.GetType(), _snakeCase);
        foreach (JsonProperty property in all.RootElement.EnumerateObject().Where(p => p.Name != "code"))
        {
            property.WriteTo(json);
        }
    }
}
