namespace VibeCheck.Core.Surveys;

/// <summary>What is known of the gauge, degrees; each null when not given.</summary>
/// <param name="ResolutionDeg">Smallest step of the display.</param>
/// <param name="AccuracyDeg">The maker's ± limit for one reading, zero error included.</param>
/// <param name="RepeatabilityDeg">Standard deviation of one reading set down anew; used where a survey has no repeats.</param>
public sealed record GaugeData(double? ResolutionDeg, double? AccuracyDeg, double? RepeatabilityDeg);
