using System.Text.Json.Serialization;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Reports.Json;

/// <summary>The results for which the compiler generates JSON code; the types that they contain are included automatically.</summary>
[JsonSourceGenerationOptions(
    GenerationMode = JsonSourceGenerationMode.Metadata,
    PropertyNamingPolicy = JsonKnownNamingPolicy.SnakeCaseLower
)]
[JsonSerializable(typeof(FlightFields))]
[JsonSerializable(typeof(ComparisonFields))]
[JsonSerializable(typeof(HistoryFields))]
[JsonSerializable(typeof(ReadingFields))]
[JsonSerializable(typeof(ShimPlanFields))]
[JsonSerializable(typeof(ShimChartFields))]
[JsonSerializable(typeof(double?))]
[JsonSerializable(typeof(Interval?))]
internal sealed partial class ResultContext : JsonSerializerContext;
