using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;

namespace VibeCheck.Reports.Json;

/// <summary>How every result is written: names in snake case, enum values in kebab case, units and signs without escapes.</summary>
internal static class ResultOptions
{
    /// <summary>For the results and the causes in them.</summary>
    internal static JsonSerializerOptions Default { get; } = Made();

    /// <summary>Writes a result as UTF-8 and ends the line.</summary>
    internal static void Write<T>(Stream stream, T fields)
    {
        JsonSerializer.Serialize(stream, fields, (JsonTypeInfo<T>)Default.GetTypeInfo(typeof(T)));
        stream.WriteByte((byte)'\n');
    }

    private static JsonSerializerOptions Made()
    {
        JsonSerializerOptions options = new()
        {
            PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
            WriteIndented = true,
            NewLine = "\n",
            // A result is a file of its own and is never embedded in HTML, so relaxed escaping is safe.
            Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
            Converters =
            {
                new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower),
                new FiniteNumber(),
                new IntervalEnds(),
                new ReasonFields(),
                new ReasonNumbers(),
            },
            TypeInfoResolver = JsonTypeInfoResolver.Combine(
                ResultContext.Default.WithAddedModifier(ResultModifiers.Apply),
                CauseContext.Default
            ),
        };
        options.MakeReadOnly();
        return options;
    }
}
