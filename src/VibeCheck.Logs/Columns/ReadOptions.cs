namespace VibeCheck.Logs.Columns;

/// <summary>What the user says about a log in addition to its content. Everything is optional.</summary>
public sealed record ReadOptions
{
    /// <summary>No options given.</summary>
    public static ReadOptions Default { get; } = new();

    /// <summary>Which IMU to use where the log has several, counted from 1 in the order of their numbers.</summary>
    public int ImuUnit { get; init; } = 1;

    /// <summary>Columns as the user named them; overrides what headers and data say. Null when not given.</summary>
    public ColumnsFile? Columns { get; init; }

    /// <summary>Unit of the time column: s, ms, us or ns. Null to find it.</summary>
    public string? TimeUnit { get; init; }

    /// <summary>Unit of acceleration where header and data do not show it, such as g or m/s2. Null to find it.</summary>
    public string? AccelerationUnit { get; init; }

    /// <summary>Raw counts for one g, above 0, where acceleration is logged in counts. Null when not given.</summary>
    public double? CountsPerG { get; init; }

    /// <summary>Unit of the rates, such as deg/s or rad/s. Null to find it.</summary>
    public string? RateUnit { get; init; }

    /// <summary>Rows a second, Hz, for a log without a time column. Null when not given.</summary>
    public double? RowsPerSecond { get; init; }

    /// <summary>Seconds to add to ESC time to align it with IMU time. Null to find it.</summary>
    public double? ClockOffsetS { get; init; }

    /// <summary>Ambient temperature, °C. Null when not given.</summary>
    public double? AmbientC { get; init; }

    /// <summary>Whether several files are parts of one flight although their clocks do not continue from one to the next.</summary>
    public bool JoinParts { get; init; }

    /// <summary>Largest share of unusable rows, 0 to 1, above which a file is refused.</summary>
    public double MaxUnusableShare { get; init; } = 0.1;

    /// <summary>Largest number of data rows in one file; a file with more is refused before memory runs out.</summary>
    public int MaxRows { get; init; } = 150_000_000;

    /// <summary>Called from time to time with the share of the files read so far, 0 to 1. May be null.</summary>
    public IProgress<double>? Progress { get; init; }
}
