using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Flights;

namespace VibeCheck.Logs.Jobs;

/// <summary>A job as its owner describes it in job.toml. Paths are as the tool can open them:
/// relative ones start at the job's folder.</summary>
public sealed record Job
{
    /// <summary>The job file as the user gave it.</summary>
    public required string Path { get; init; }

    /// <summary>Title; the file's folder where none is given.</summary>
    public required string Title { get; init; }

    /// <summary>Tail number or registration; null when not given.</summary>
    public string? Tail { get; init; }

    /// <summary>Serial number of the aircraft; null when not given.</summary>
    public string? Serial { get; init; }

    /// <summary>Number of the work order; null when not given.</summary>
    public string? WorkOrder { get; init; }

    /// <summary>Customer; null when not given.</summary>
    public string? Customer { get; init; }

    /// <summary>The airframe file; null where none is given and the motors are called as the logs call them.</summary>
    public required string? Airframe { get; init; }

    /// <summary>The survey file; null without.</summary>
    public string? Survey { get; init; }

    /// <summary>The columns file of all flights that name none of their own; null without.</summary>
    public string? Columns { get; init; }

    /// <summary>Flights before the work, one or more unless the job is a history.</summary>
    public required IReadOnlyList<JobFlight> Before { get; init; }

    /// <summary>Flights after the work, one or more unless the job is a history.</summary>
    public required IReadOnlyList<JobFlight> After { get; init; }

    /// <summary>Stages of a history in the order of the file; empty for a plain job.</summary>
    public IReadOnlyList<JobStage> Stages { get; init; } = [];

    /// <summary>What counts as a change.</summary>
    public required ComparisonOptions Options { get; init; }

    /// <summary>Keys and sections that mean nothing here, each with its line: most often a typing error.</summary>
    public IReadOnlyList<string> Remarks { get; init; } = [];
}

/// <summary>One flight of a job.</summary>
public sealed record JobFlight
{
    /// <summary>Files of the flight.</summary>
    public required FlightFiles Files { get; init; }

    /// <summary>Ambient temperature, °C; null when not given.</summary>
    public double? AmbientC { get; init; }

    /// <summary>The part of the flight that hover may be taken from, s as the log's own results count them; null for all of it.</summary>
    public TimeInterval? HoverS { get; init; }

    /// <summary>What the owner calls it; null when not given.</summary>
    public string? Name { get; init; }

    /// <summary>Seconds to add to ESC time to meet IMU time; null to find it.</summary>
    public double? ClockOffsetS { get; init; }

    /// <summary>Columns file of its recorder, the flight's own or the job's; null when none is named.</summary>
    public string? Columns { get; init; }

    /// <summary>Which IMU to take where the logs have several, from 1; null when not given.</summary>
    public int? ImuUnit { get; init; }

    /// <summary>Whether its files are parts of one flight although their clocks do not go on from one to the next.</summary>
    public bool JoinParts { get; init; }

    /// <summary>Line of the job file where the flight stands, from 1; null where there is no job file.</summary>
    public required int? Line { get; init; }
}

/// <summary>A stage in the life of an airframe: what was done to it, and the flights after that.</summary>
/// <param name="Name">What was done, such as "as built" or "shims on M1, M3".</param>
/// <param name="Date">Day it was done.</param>
/// <param name="Flights">Flights of the stage, one or more.</param>
public sealed record JobStage(string Name, DateOnly Date, IReadOnlyList<JobFlight> Flights);
