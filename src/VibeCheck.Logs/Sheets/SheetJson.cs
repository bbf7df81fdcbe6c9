using System.Text.Json;
using System.Text.Json.Serialization;

namespace VibeCheck.Logs.Sheets;

/// <summary>The JSON of the bench sheet, written and read without reflection, so that unused code can be left out of the phone's
/// page.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower,
    AllowOutOfOrderMetadataProperties = true,
    RespectNullableAnnotations = true,
    RespectRequiredConstructorParameters = true
)]
[JsonSerializable(typeof(SheetEntry))]
[JsonSerializable(typeof(SheetJob))]
[JsonSerializable(typeof(SheetEntries))]
[JsonSerializable(typeof(SheetReceipt))]
public sealed partial class SheetJson : JsonSerializerContext
{
    /// <summary>Reads a message or an entry.</summary>
    /// <param name="text">The text.</param>
    /// <param name="type">The expected type.</param>
    /// <returns>The message; null where the text is something else.</returns>
    public static T? Read<T>(string? text, System.Text.Json.Serialization.Metadata.JsonTypeInfo<T> type)
        where T : class
    {
        try
        {
            return text is null ? null : JsonSerializer.Deserialize(text, type);
        }
        catch (Exception e) when (e is JsonException or NotSupportedException)
        {
            return null;
        }
    }
}
