using System.Globalization;
using VibeCheck.Core.Findings;

namespace VibeCheck.Workbench.AircraftHistory;

/// <summary>The newest flight of an aircraft on the scale of its earlier ones.</summary>
/// <param name="Job">The job that it belongs to.</param>
/// <param name="Side">The flights that it belongs to.</param>
/// <param name="Earlier">How many earlier flights there are.</param>
/// <param name="Scale">Its values on the scale.</param>
internal sealed record NewestFlight(JobSummary Job, JobSide Side, int Earlier, IReadOnlyList<ScaleReading> Scale)
{
    /// <summary>The newest flight of all jobs; null where no job has a verdict yet.</summary>
    internal static NewestFlight? Of(IEnumerable<JobSummary> jobs)
    {
        (JobSummary Job, JobSide Side, FlownFlight Flight)[] flights =
        [
            .. jobs.SelectMany(j => j.Sides.SelectMany(s => s.Flights.Select(f => (Job: j, Side: s, Flight: f))))
                .DistinctBy(f => Same(f.Flight))
                .OrderBy(f => f.Flight.StartedUtc ?? f.Side.Day),
        ];
        return flights is [.. var earlier, var newest]
            ? new(newest.Job, newest.Side, earlier.Length, FlightScale.Of(newest.Flight.Values, [.. earlier.Select(f => f.Flight.Values)]))
            : null;
    }

    /// <summary>A key by which a flight counts once, because the flights after one work are often those before the next, and a folder may
    /// be a copy. Without a date the key is its values, which agree to the last digit only where the log is the same.</summary>
    private static string Same(FlownFlight flight) =>
        flight.StartedUtc is DateTime started
            ? started.ToString("O", CultureInfo.InvariantCulture)
            : string.Join(' ', flight.Values.OrderBy(v => v.Key).Select(v => v.Value.ToString("R", CultureInfo.InvariantCulture)));
}
