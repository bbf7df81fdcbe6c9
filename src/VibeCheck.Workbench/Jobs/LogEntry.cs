using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Workbench.Jobs;

/// <summary>State of a log.</summary>
public enum LogState
{
    /// <summary>Waits to be read.</summary>
    Waiting,

    /// <summary>Is being read.</summary>
    Reading,

    /// <summary>Has been read and understood.</summary>
    Read,

    /// <summary>Cannot be used as it is.</summary>
    Faulty,

    /// <summary>Was stopped by the user.</summary>
    Stopped,
}

/// <summary>A log of the job, and what is known of it.</summary>
public sealed record LogEntry
{
    /// <summary>Path as the tool opens it.</summary>
    public required string Path { get; init; }

    /// <summary>Path relative to the folder of the job.</summary>
    public required string Name { get; init; }

    /// <summary>Size, bytes.</summary>
    public required long SizeBytes { get; init; }

    /// <summary>Date of the file, UTC.</summary>
    public required DateTime Modified { get; init; }

    /// <summary>Its state.</summary>
    public LogState State { get; init; }

    /// <summary>Share read, 0 to 1.</summary>
    public double Share { get; init; }

    /// <summary>How it was understood; for a faulty log, what its headers say; null before it was read.</summary>
    public FileRecord? Record { get; init; }

    /// <summary>Its first values; null before it was read.</summary>
    public ColumnSamples? Samples { get; init; }

    /// <summary>What is wrong with it.</summary>
    public IReadOnlyList<InputFault> Faults { get; init; } = [];

    /// <summary>Whether it holds acceleration, so that it can be a flight.</summary>
    public bool HasImu => Record?.Columns.Any(c => c.Channel?.StartsWith("acc_", StringComparison.Ordinal) == true) == true;

    /// <summary>Start of the record as the log gives it; null where it gives none.</summary>
    public DateTime? StartedUtc => Record?.StartedUtc;
}
