using System.Text.Json;
using System.Text.Json.Serialization;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Json;

/// <summary>A cause as an object: its code and its numbers.</summary>
internal static class ReasonJson
{
    private static readonly JsonSerializerOptions _snakeCase = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        Converters =
        {
            new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower),
            new FiniteNumber(),
            new IntervalEnds(),
            new CauseWithin(),
        },
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
        Values(json, reason);
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

    /// <summary>What is not a finite number is null.</summary>
    private sealed class FiniteNumber : JsonConverter<double>
    {
        public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
            throw new NotSupportedException();

        public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options)
        {
            if (double.IsFinite(value))
            {
                writer.WriteNumberValue(value);
            }
            else
            {
                writer.WriteNullValue();
            }
        }
    }

    /// <summary>An interval is the list of its two ends.</summary>
    private sealed class IntervalEnds : JsonConverter<Interval>
    {
        public override Interval Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
            throw new NotSupportedException();

        public override void Write(Utf8JsonWriter writer, Interval value, JsonSerializerOptions options)
        {
            writer.WriteStartArray();
            writer.WriteNumberValue(value.Low);
            writer.WriteNumberValue(value.High);
            writer.WriteEndArray();
        }
    }

    /// <summary>A cause within a cause has its own code and numbers.</summary>
    private sealed class CauseWithin : JsonConverter<Reason>
    {
        public override Reason Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
            throw new NotSupportedException();

        public override void Write(Utf8JsonWriter writer, Reason value, JsonSerializerOptions options) => ReasonJson.Write(writer, value);
    }
}
