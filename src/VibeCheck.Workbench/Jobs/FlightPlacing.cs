using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Jobs;

namespace VibeCheck.Workbench.Jobs;

/// <summary>Places logs that are in no flight yet before or after the work, as far as their names and dates show it.</summary>
internal static class FlightPlacing
{
    // Recorders of one flight start within minutes of each other (common practice).
    private static readonly TimeSpan s_oneFlight = TimeSpan.FromMinutes(30);

    /// <summary>The job with the new flights in it; null where nothing can be placed.</summary>
    internal static Job? Place(Job job, DeskView view)
    {
        LogEntry[] loose = [.. view.Loose.Where(l => l.State == LogState.Read)];
        if (job.Stages.Count > 0 || loose.Length == 0)
        {
            return null;
        }

        Job placed = loose
            .Where(l => l.HasImu)
            .Aggregate(job, (j, log) => SideOf(j, log, view) is bool isAfter ? With(j, log.Path, isAfter) : j);
        placed = loose
            .Where(l => !l.HasImu)
            .Aggregate(placed, (j, log) => PartnerOf(j, log, view) is JobFlight flight ? WithTelemetry(j, flight, log.Path) : j);
        return ReferenceEquals(placed, job) ? null : placed;
    }

    /// <summary>The job with a log as a flight of a side; the same job where the log is in one of its flights already, such as from
    /// another page, or the job has stages and no sides.</summary>
    internal static Job With(Job job, string imu, bool isAfter)
    {
        if (job.Stages.Count > 0 || Holds(job, imu))
        {
            return job;
        }

        var flight = new JobFlight { Files = new FlightFiles([imu], []), Line = null };
        return isAfter ? job with { After = [.. job.After, flight] } : job with { Before = [.. job.Before, flight] };
    }

    /// <summary>The job with telemetry added to one of its flights; the same job where a flight holds it already.</summary>
    internal static Job WithTelemetry(Job job, JobFlight flight, string esc)
    {
        if (Holds(job, esc))
        {
            return job;
        }

        JobFlight Added(JobFlight f) => IsSame(f, flight) ? f with { Files = f.Files with { Esc = [.. f.Files.Esc, esc] } } : f;
        return job with { Before = [.. job.Before.Select(Added)], After = [.. job.After.Select(Added)] };
    }

    /// <summary>The job without a flight.</summary>
    internal static Job Without(Job job, JobFlight flight) =>
        job with
        {
            Before = [.. job.Before.Where(f => !IsSame(f, flight))],
            After = [.. job.After.Where(f => !IsSame(f, flight))],
        };

    /// <summary>The job with a flight on the other side, as the job has it now; the same job where it has no such flight any more.</summary>
    internal static Job Moved(Job job, JobFlight flight)
    {
        if (job.Before.Concat(job.After).FirstOrDefault(f => IsSame(f, flight)) is not JobFlight now)
        {
            return job;
        }

        bool isAfter = job.After.Contains(now);
        Job without = Without(job, now);
        return isAfter ? without with { Before = [.. without.Before, now] } : without with { After = [.. without.After, now] };
    }

    private static bool IsSame(JobFlight one, JobFlight other) => one.Files.Imu.SequenceEqual(other.Files.Imu);

    private static bool Holds(Job job, string log) =>
        job
            .Before.Concat(job.After)
            .SelectMany(f => f.Files.Imu.Concat(f.Files.Esc))
            .Any(p => Path.GetFullPath(p) == Path.GetFullPath(log));

    /// <summary>True for after, false for before, null where neither name nor dates show it.</summary>
    private static bool? SideOf(Job job, LogEntry log, DeskView view)
    {
        bool after = Says(log, "after"),
            before = Says(log, "before");
        if (after != before)
        {
            return after;
        }

        LogEntry[] flights = [.. view.Logs.Where(l => l.HasImu)];
        return flights.Length > 1 && flights.All(l => l.StartedUtc.HasValue) && LongestPause(flights) is DateTime split
            ? log.StartedUtc > split
            : null;
    }

    private static bool Says(LogEntry log, string word) =>
        log
            .Name.Split(['/', '-', '_', ' ', '.'], StringSplitOptions.RemoveEmptyEntries)
            .Any(w => w.Equals(word, StringComparison.OrdinalIgnoreCase));

    /// <summary>Start of the last flight before the longest pause, assumed to be the time of the work; null where the longest pause
    /// is not more than 1.5 times the next longest.</summary>
    private static DateTime? LongestPause(LogEntry[] flights)
    {
        DateTime[] starts = [.. flights.Select(f => f.StartedUtc!.Value).Order()];
        (TimeSpan Pause, DateTime From)[] pauses = [.. starts.Zip(starts.Skip(1), (a, b) => (b - a, a)).OrderDescending()];
        return pauses.Length == 1 || pauses[0].Pause > 1.5 * pauses[1].Pause ? pauses[0].From : null;
    }

    /// <summary>The flight that telemetry belongs to: the nearest in time within 30 minutes, else the only one with a similar name;
    /// otherwise null.</summary>
    private static JobFlight? PartnerOf(Job job, LogEntry esc, DeskView view)
    {
        JobFlight[] open = [.. job.Before.Concat(job.After).Where(f => f.Files.Esc.Count == 0)];
        if (esc.StartedUtc is DateTime start)
        {
            JobFlight[] near =
            [
                .. open.Where(f => view.Log(f.Files.Imu[0])?.StartedUtc is DateTime own && (own - start).Duration() < s_oneFlight)
                    .OrderBy(f => (view.Log(f.Files.Imu[0])!.StartedUtc!.Value - start).Duration()),
            ];
            if (near.Length > 0)
            {
                return near[0];
            }
        }

        JobFlight[] alike = [.. open.Where(f => FlightSorting.AreAlike(f.Files.Imu[0], esc.Path))];
        return alike.Length == 1 ? alike[0] : null;
    }
}
