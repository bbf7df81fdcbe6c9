using System.Text.Json;
using System.Text.Json.Serialization;

namespace VibeCheck.Logs.Sheets;

/// <summary>Writes an enumeration as its words in lower case with hyphens, such as <c>as-found</c>; numbers are not read.</summary>
/// <typeparam name="T">The enumeration.</typeparam>
public sealed class WordConverter<T>() : JsonStringEnumConverter<T>(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false)
    where T : struct, Enum;
