using System.Text.Encodings.Web;
using System.Text.Json;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>The few shapes of which every result is made. What is not a finite number is written as null.</summary>
internal static class JsonFields
{
    /// <summary>Readable units and signs: a result is a file of its own and never stands inside a page.</summary>
    internal static JsonWriterOptions Options { get; } =
        new()
        {
            Indented = true,
            NewLine = "\n",
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        };

    internal static void Write(Stream stream, Action<Utf8JsonWriter> body)
    {
        using (var json = new Utf8JsonWriter(stream, Options))
        {
            body(json);
        }

        stream.WriteByte((byte)'\n');
    }

    internal static void Object(this Utf8JsonWriter json, Action body)
    {
        json.WriteStartObject();
        body();
        json.WriteEndObject();
    }

    internal static void Object(this Utf8JsonWriter json, string name, Action body)
    {
        json.WritePropertyName(name);
        json.Object(body);
    }

    internal static void Array<T>(this Utf8JsonWriter json, string name, IEnumerable<T> items, Action<T> each)
    {
        json.WriteStartArray(name);
        foreach (T item in items)
        {
            each(item);
        }

        json.WriteEndArray();
    }

    internal static void Texts(this Utf8JsonWriter json, string name, IEnumerable<string> items) =>
        json.Array(name, items, json.WriteStringValue);

    internal static void Number(this Utf8JsonWriter json, string name, double? value)
    {
        if (value is double known && double.IsFinite(known))
        {
            json.WriteNumber(name, known);
        }
        else
        {
            json.WriteNull(name);
        }
    }

    internal static void Range(this Utf8JsonWriter json, string name, Interval? interval)
    {
        if (interval is not Interval known)
        {
            json.WriteNull(name);
            return;
        }

        json.WriteStartArray(name);
        json.WriteNumberValue(known.Low);
        json.WriteNumberValue(known.High);
        json.WriteEndArray();
    }

    internal static void Amount(this Utf8JsonWriter json, string valueName, string intervalName, Estimate estimate)
    {
        json.Number(valueName, estimate.Value);
        json.Range(intervalName, estimate.Ci95);
    }

    internal static void Segments(this Utf8JsonWriter json, string name, IEnumerable<TimeInterval> segments) =>
        json.Array(
            name,
            segments,
            s =>
                json.Object(() =>
                {
                    json.Number("from_s", s.FromS);
                    json.Number("to_s", s.ToS);
                })
        );

    /// <summary>One sentence for an object with a single amount: why it, or its interval, is not known; null when both are.</summary>
    internal static void Why(this Utf8JsonWriter json, string? why) => json.WriteString("why", why);

    /// <summary>Why an amount is not known: <c>why</c> in words, and <c>reason</c> with its code
    /// and numbers; both null when it is known.</summary>
    internal static void Why(this Utf8JsonWriter json, Reason? reason)
    {
        json.Why(ReasonText.Of(reason));
        json.Reason(reason);
    }

    /// <summary>A cause as <c>reason</c>: its code and numbers; null for null.</summary>
    internal static void Reason(this Utf8JsonWriter json, Reason? reason)
    {
        json.WritePropertyName("reason");
        ReasonJson.Write(json, reason);
    }

    /// <summary>For an object with several amounts: each reason with the field that it is about; null when all are known.</summary>
    internal static void Why(this Utf8JsonWriter json, params ReadOnlySpan<(string Field, Estimate Estimate)> amounts)
    {
        var reasons = new List<string>();
        foreach ((string field, Estimate estimate) in amounts)
        {
            if (ReasonText.Of(estimate.Why) is string why)
            {
                reasons.Add($"{field}: {why}");
            }
        }

        json.Why(reasons.Count == 0 ? null : string.Join("; ", reasons));
    }
}
