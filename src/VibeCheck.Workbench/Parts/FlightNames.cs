using VibeCheck.Logs.Jobs;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Parts;

/// <summary>Names of the flights of a job on the pages, as in the report.</summary>
internal static class FlightNames
{
    /// <summary>Flights of the job with their names, before then after.</summary>
    internal static IReadOnlyList<(JobFlight Flight, string Name)> Of(DeskView view) =>
        [.. Side(view.Job?.Before ?? [], "before"), .. Side(view.Job?.After ?? [], "after")];

    /// <summary>Name of one flight.</summary>
    internal static string Of(IReadOnlyList<JobFlight> side, int index, bool isAfter) =>
        Side(side, isAfter ? "after" : "before").ElementAt(index).Name;

    private static IEnumerable<(JobFlight Flight, string Name)> Side(IReadOnlyList<JobFlight> flights, string word) =>
        flights.Select(
            (f, i) =>
                (
                    f,
                    f.Name
                        ?? (flights.Count == 1 ? word : string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{word} {i + 1}"))
                )
        );
}
