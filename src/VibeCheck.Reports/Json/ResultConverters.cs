using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Json;

/// <summary>A converter for results, which are only written.</summary>
internal abstract class WriteOnly<T> : JsonConverter<T>
{
    /// <exception cref="NotSupportedException">Always.</exception>
    public override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        throw new NotSupportedException();
}

/// <summary>What is not a finite number is null.</summary>
internal sealed class FiniteNumber : WriteOnly<double>
{
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
internal sealed class IntervalEnds : WriteOnly<Interval>
{
    public override void Write(Utf8JsonWriter writer, Interval value, JsonSerializerOptions options)
    {
        writer.WriteStartArray();
        writer.WriteNumberValue(value.Low);
        writer.WriteNumberValue(value.High);
        writer.WriteEndArray();
    }
}

/// <summary>A cause is an object: its code first, then its numbers. A cause within a cause is one too.</summary>
internal sealed class ReasonFields : WriteOnly<Reason>
{
    public override void Write(Utf8JsonWriter writer, Reason value, JsonSerializerOptions options)
    {
        writer.WriteStartObject();
        writer.WriteString("code", value.Code);
        ReasonNumbers.Write(writer, value, options);
        writer.WriteEndObject();
    }
}

/// <summary>The numbers of a cause without its code.</summary>
internal sealed record NumbersOf(Reason Cause);

/// <summary>The properties of a cause, names in snake case.</summary>
internal sealed class ReasonNumbers : WriteOnly<NumbersOf>
{
    public override void Write(Utf8JsonWriter writer, NumbersOf value, JsonSerializerOptions options)
    {
        writer.WriteStartObject();
        Write(writer, value.Cause, options);
        writer.WriteEndObject();
    }

    /// <summary>Writes each property by what the compiler generated for the type of the cause.</summary>
    internal static void Write(Utf8JsonWriter writer, Reason cause, JsonSerializerOptions options)
    {
        foreach (JsonPropertyInfo property in options.GetTypeInfo(cause.GetType()).Properties)
        {
            // What is not public has no getter here.
            if (property.Name != "code" && property.Get is { } get)
            {
                writer.WritePropertyName(property.Name);
                JsonSerializer.Serialize(writer, get(cause), options.GetTypeInfo(property.PropertyType));
            }
        }
    }
}
