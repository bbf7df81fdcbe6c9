using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>How much the temperatures of the units differ: hottest minus coolest steady rise, °C.</summary>
/// <param name="BeforeC">Before.</param>
/// <param name="AfterC">After.</param>
/// <param name="ChangeC">Change; negative means more even.</param>
/// <param name="Call">The call on it; it does not count in the verdict.</param>
public sealed record TemperatureSpread(Estimate BeforeC, Estimate AfterC, Estimate ChangeC, CallKind Call);
