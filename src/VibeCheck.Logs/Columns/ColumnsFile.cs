namespace VibeCheck.Logs.Columns;

/// <summary>What the columns of a recorder are, as its user said; overrides what the tool would find.</summary>
public sealed record ColumnsFile
{
    /// <summary>Where it was read from; null when made in memory.</summary>
    public string? Path { get; init; }

    /// <summary>Rows a second for a recorder that writes no time, Hz; null when it does.</summary>
    public double? RowsPerSecond { get; init; }

    /// <summary>The columns told about. Others are found as usual.</summary>
    public required IReadOnlyList<ColumnEntry> Columns { get; init; }

    /// <summary>The entry for a header (case and blanks around it do not matter), or null.</summary>
    public ColumnEntry? Find(string header) =>
        Columns.FirstOrDefault(c => string.Equals(c.Header.Trim(), header.Trim(), StringComparison.OrdinalIgnoreCase));
}

/// <summary>One column of a columns file.</summary>
/// <param name="Header">Header as it stands in the log.</param>
/// <param name="Channel">What it is: time, acc_x, rate_x, rpm, command, current, voltage, motor_temp, esc_temp, battery, height, ambient,
/// motor_name, imu_number or ignore.</param>
/// <param name="Motor">Motor it belongs to; null where the channel has none.</param>
/// <param name="Unit">Unit in the log; null to take the header's or find it.</param>
/// <param name="Scale">Factor on the values before the unit, finite and not 0; 1 for none.</param>
/// <param name="Line">Line in the columns file, for messages; 0 when made in memory.</param>
public sealed record ColumnEntry(string Header, string Channel, string? Motor, string? Unit, double Scale = 1, int Line = 0);
