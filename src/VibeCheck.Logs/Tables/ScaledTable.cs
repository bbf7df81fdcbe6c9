using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Clocks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Tables;

/// <summary>One log file in the tool's units, with the time of each row; not yet on an even clock.</summary>
internal sealed record ScaledTable
{
    internal required LogRows Rows { get; init; }

    internal required ColumnPlan Plan { get; init; }

    /// <summary>Time of each row, s from <see cref="OriginS"/>; NaN where the row's stamp could not be used.</summary>
    internal required double[] TimeS { get; init; }

    /// <summary>Clock reading of the first row, s, on the logger's own clock (since 1970 where <see cref="StartedUtc"/> is
    /// known).</summary>
    internal required double OriginS { get; init; }

    /// <summary>Wall clock time of the first row; null for a relative clock.</summary>
    internal required DateTime? StartedUtc { get; init; }

    /// <summary>Findings about the raw time stamps.</summary>
    internal required StampNotes Stamps { get; init; }

    /// <summary>Acceleration and rates; null where the file has no acceleration.</summary>
    internal required InertialColumns? Inertial { get; init; }

    /// <summary>For each column the filled cells; null where a column is not stored in this way.</summary>
    internal required IReadOnlyList<SparseColumn?> Sparse { get; init; }

    /// <summary>Assigns names in the rows to motors.</summary>
    internal required MotorNames Motors { get; init; }

    /// <summary>How the file was read, for people.</summary>
    internal required IReadOnlyList<string> Phrases { get; init; }

    internal required IReadOnlyList<Warning> Warnings { get; init; }

    /// <summary>Number of rows with acceleration or rates that no sensor can give.</summary>
    internal int RowsBeyondSensors { get; init; }

    /// <summary>Headers of motor columns for which the airframe has no motor.</summary>
    internal IReadOnlyList<string> UnknownMotors { get; init; } = [];

    internal string Path => Rows.Path;

    internal LogForm Form => Rows.Form;

    /// <summary>Clock reading of the first row, or 0 where it is a wall clock time or a very large count.</summary>
    internal double OriginOrZero => StartedUtc.HasValue || OriginS is > 1e6 or < -1e6 ? 0 : OriginS;

    /// <summary>Time of the first usable row, s.</summary>
    internal double FirstTimeS => Array.Find(TimeS, t => !double.IsNaN(t));

    /// <summary>Time of the last usable row, s.</summary>
    internal double LastTimeS => Array.FindLast(TimeS, t => !double.IsNaN(t));

    /// <summary>For each row the label in the IMU number column; null when there is none.</summary>
    internal SparseColumn? ImuLabels => Plan.ImuId is { } id ? Sparse[id.Index] : null;

    /// <summary>Columns that are used and of which only the filled cells are stored.</summary>
    internal IEnumerable<PlannedColumn> SparseColumns => Plan.Columns.Where(c => c.Used && IsSparse(c));

    internal SparseColumn Values(PlannedColumn column) => Sparse[column.Index]!;

    internal InputFaultException Fault(int? line, int? column, string problem, string remedy) => Rows.Fault(line, column, problem, remedy);

    private bool IsSparse(PlannedColumn column) => column.Index < Sparse.Count && Sparse[column.Index] is not null;
}
