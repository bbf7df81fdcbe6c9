using VibeCheck.Core.Surveys;

namespace VibeCheck.Logs.Surveys;

/// <summary>The lines of a survey, read but not worked out.</summary>
/// <param name="Readings">Readings in the order of the file.</param>
/// <param name="Remarks">Columns that mean nothing to the tool, each with its place.</param>
public sealed record SurveySheet(IReadOnlyList<GaugeReading> Readings, IReadOnlyList<string> Remarks);
