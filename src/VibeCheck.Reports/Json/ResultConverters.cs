using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Json;

/// <summary>Base of converters for results, which are written but never read.</summary>
internal abstract class WriteOnly<T> : JsonConverter<T>
{
    /// <exception cref="NotSupportedException">Always.</exception>
    public override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        throw new NotSupportedException();
}

/// <summary>Writes a number. What is unknown is null with a reason, so NaN or an infinity is a bug and stops the program.</summary>
internal sealed class FiniteNumber : WriteOnly<double>
{
    /// <exception cref="InvalidOperationException">The number is NaN or infinite.</exception>
    public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options) =>
        writer.WriteNumberValue(
            double.IsFinite(value)
                ? value
                : throw new InvalidOperationException($"a number of the result is {value.ToString(CultureInfo.InvariantCulture)}")
        );
}

/// <summary>Writes an interval as an array of its two ends.</summary>
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

/// <summary>Writes a cause as an object: its code first, then its numbers. A nested cause is written in the same way.</summary>
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

/// <summary>Writes the properties of a cause as an object, names in snake case.</summary>
internal sealed class ReasonNumbers : WriteOnly<NumbersOf>
{
    public override void Write(Utf8JsonWriter writer, NumbersOf value, JsonSerializerOptions options)
    {
        writer.WriteStartObject();
        Write(writer, value.Cause, options);
        writer.WriteEndObject();
    }

    /// <summary>Writes each property with the code that the compiler generated for the type of the cause.</summary>
    internal static void Write(Utf8JsonWriter writer, Reason cause, JsonSerializerOptions options)
    {
        foreach (JsonPropertyInfo property in options.GetTypeInfo(cause.GetType()).Properties)
        {
            // A property that is not public has no getter here.
            if (property.Name != "code" && property.Get is { } get)
            {
                writer.WritePropertyName(property.Name);
                JsonSerializer.Serialize(writer, get(cause), options.GetTypeInfo(property.PropertyType));
            }
        }
    }
}
