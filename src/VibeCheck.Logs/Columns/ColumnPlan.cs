using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>What each column of a log holds, which columns are read, and how.</summary>
internal sealed record ColumnPlan
{
    internal required IReadOnlyList<PlannedColumn> Columns { get; init; }

    internal required IReadOnlyList<Warning> Warnings { get; init; }

    internal required int? TimeIndex { get; init; }

    internal required int? MotorIdIndex { get; init; }

    internal required int? ImuIdIndex { get; init; }

    /// <summary>Indices of acceleration x, y, z; null where missing.</summary>
    internal required IReadOnlyList<int?> AccelerationIndices { get; init; }

    /// <summary>Indices of the rates about x, y, z: all three or none.</summary>
    internal required IReadOnlyList<int?> RateIndices { get; init; }

    internal required bool TimeIsText { get; init; }

    /// <summary>The time column; null when the log has none and a rate was given.</summary>
    internal PlannedColumn? Time => At(TimeIndex);

    /// <summary>Column that names the motor of a row; null in a wide layout.</summary>
    internal PlannedColumn? MotorId => At(MotorIdIndex);

    /// <summary>Column that names the IMU of a row; null when there is none.</summary>
    internal PlannedColumn? ImuId => At(ImuIdIndex);

    /// <summary>Acceleration columns x, y, z that are used; null where missing.</summary>
    internal PlannedColumn?[] Acceleration => [.. AccelerationIndices.Select(At)];

    internal PlannedColumn?[] Rates => [.. RateIndices.Select(At)];

    /// <summary>Motor columns that are used.</summary>
    internal IEnumerable<PlannedColumn> MotorColumns => Columns.Where(c => c.Used && c.Channel!.IsMotor);

    internal bool HasImu => AccelerationIndices.Any(a => a is not null);

    /// <exception cref="InputFaultException">The columns, or what the user says about them, cannot be used.</exception>
    internal static ColumnPlan Of(LogForm form, ReadOptions options, string path) => ColumnPlanner.Plan(form, options, path);

    /// <summary>The plan from headers, units row, columns file and the user's options, whether or not the log can be read with
    /// it.</summary>
    internal static ColumnPlan OfHeaders(LogForm form, ReadOptions options, string path) => ColumnPlanner.PlanHeaders(form, options, path);

    /// <summary>Guesses for the columns of which nothing is known.</summary>
    internal IReadOnlyList<ColumnGuess> Guesses(LogForm form) => ColumnGuess.Of(form, Columns);

    /// <summary>The plan with these columns in place of those with the same index.</summary>
    internal ColumnPlan With(IEnumerable<PlannedColumn> changed)
    {
        PlannedColumn[] columns = [.. Columns];
        foreach (PlannedColumn column in changed)
        {
            columns[column.Index] = column;
        }

        return this with
        {
            Columns = columns,
        };
    }

    internal ColumnTask[] Tasks()
    {
        var tasks = new ColumnTask[Columns.Count];
        foreach (PlannedColumn column in Columns.Where(c => c.Used))
        {
            tasks[column.Index] = column.Channel!.Quantity switch
            {
                Quantity.Time => ColumnTask.Stamp,
                Quantity.Acceleration or Quantity.Rate => ColumnTask.Dense,
                Quantity.MotorId or Quantity.ImuId => ColumnTask.Label,
                _ => ColumnTask.Sparse,
            };
        }

        return tasks;
    }

    private PlannedColumn? At(int? index) => index is int at ? Columns[at] : null;
}
