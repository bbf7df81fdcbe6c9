using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Tracks;

/// <summary>How the files of a flight were understood.</summary>
public sealed record FlightInput
{
    /// <summary>The file with the IMU (or everything in one wide file).</summary>
    public required FileRecord Imu { get; init; }

    /// <summary>The file with the ESC telemetry; null when the IMU's file has both or there is none.</summary>
    public FileRecord? Esc { get; init; }

    /// <summary>Seconds added to ESC time to meet IMU time; 0 in one file; null when it could not be found.</summary>
    public double? ClockOffsetS { get; init; }

    /// <summary>How well the offset is known: half width of its 95 % interval, s; null when not known.</summary>
    public double? ClockOffsetU95S { get; init; }

    /// <summary>Drift of the ESC clock against the IMU clock, parts per million; 0 where none is
    /// clear of its interval; null when not calculated.</summary>
    public double? ClockDriftPpm { get; init; }

    /// <summary>How well the drift is known: half width of its 95 % interval, parts per million; null when not known.</summary>
    public double? ClockDriftU95Ppm { get; init; }

    /// <summary>Why offset or drift are not known; null otherwise.</summary>
    public Reason? ClockWhy { get; init; }

    /// <summary>Start of the flight by the log's wall clock, UTC; null when the log has relative times only.</summary>
    public DateTime? StartedUtc { get; init; }

    /// <summary>SHA-256 over the content of the files, hex; so that the same file given twice is noticed.</summary>
    public string? ContentHash { get; init; }

    /// <summary>Why something of the clocks is not known; null where all is.</summary>
    public Reason? Incomplete =>
        ClockWhy
        ?? (
            ClockOffsetS is null
            || ClockOffsetU95S is null
            || ClockDriftPpm is null
            || ClockDriftU95Ppm is null
            || StartedUtc is null
            || ContentHash is null
                ? new NotInLog()
                : null
        );
}

/// <summary>The log does not contain it, or everything is in one file and it is not needed.</summary>
public sealed record NotInLog : Reason;

/// <summary>How one log file was understood.</summary>
public sealed record FileRecord
{
    /// <summary>Path as given by the user.</summary>
    public required string Path { get; init; }

    /// <summary>Data rows in the file.</summary>
    public required int Rows { get; init; }

    /// <summary>Rows that could not be used.</summary>
    public required int RowsUnusable { get; init; }

    /// <summary>Rows a second in even stretches, Hz; null with fewer than two rows.</summary>
    public double? RateHz { get; init; }

    /// <summary>Standard deviation of the stamps against the even clock, s; null when not calculated.</summary>
    public double? JitterS { get; init; }

    /// <summary>Time of the first row by the log's wall clock, UTC; null when the log has relative times only.</summary>
    public DateTime? StartedUtc { get; init; }

    /// <summary>Stretches without samples.</summary>
    public IReadOnlyList<TimeInterval> Gaps { get; init; } = [];

    /// <summary>Samples at the end of the sensor's range.</summary>
    public int ClippedSamples { get; init; }

    /// <summary>Every column with what it was taken for.</summary>
    public required IReadOnlyList<ColumnRecord> Columns { get; init; }

    /// <summary>How the text was understood: separator, decimal mark, encoding, layout, time
    /// unit and the like, one short phrase each.</summary>
    public IReadOnlyList<string> Form { get; init; } = [];

    /// <summary>What looked odd.</summary>
    public IReadOnlyList<Warning> Warnings { get; init; } = [];
}

/// <summary>One column of a log.</summary>
/// <param name="Header">As written in the file.</param>
/// <param name="Channel">What it was taken for, such as acc_x or M1 rpm; null when of no interest.</param>
/// <param name="Unit">Unit as read, before conversion; null when none.</param>
/// <param name="HowKnown">How meaning and unit are known: "header", "units row", "data", "columns file", "user"; null when ignored.</param>
/// <param name="Min">Least usable value, in tool units; null when none.</param>
/// <param name="Max">Greatest usable value, in tool units; null when none.</param>
/// <param name="UsableShare">Share of rows with a usable value, 0 to 1.</param>
public sealed record ColumnRecord(
    string Header,
    string? Channel,
    string? Unit,
    string? HowKnown,
    double? Min,
    double? Max,
    double UsableShare
);
