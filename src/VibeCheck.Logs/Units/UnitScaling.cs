using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Units;

/// <summary>Converts the numbers of a log to the tool's units.</summary>
internal static class UnitScaling
{
    internal const string UnitNotKnown = "unit not known";

    /// <summary>The table in the tool's units. The inertial columns are taken from the timed table and scaled in place, because they are
    /// most of a long log.</summary>
    /// <param name="table">The numbers in the log's own units.</param>
    /// <param name="decision">The units.</param>
    /// <param name="motors">Assigns names in the rows to motors.</param>
    /// <param name="phrases">Phrases so far about how the file was read.</param>
    /// <param name="warnings">Warnings so far.</param>
    internal static ScaledTable Apply(
        TimedTable table,
        UnitDecision decision,
        MotorNames motors,
        IReadOnlyList<string> phrases,
        IReadOnlyList<Warning> warnings
    ) =>
        new()
        {
            Rows = table.Rows,
            Plan = decision.Plan,
            TimeS = table.TimeS,
            OriginS = table.OriginS,
            StartedUtc = table.StartedUtc,
            Stamps = table.Stamps,
            Inertial = decision.Plan.HasImu
                ? new(
                    Taken(table.Numbers, decision.Plan.Acceleration),
                    decision.UsesRates ? Taken(table.Numbers, decision.Plan.Rates) : null
                )
                : null,
            Sparse = [.. decision.Plan.Columns.Select(c => Scaled(table.Numbers, c))],
            Motors = motors,
            Phrases = phrases,
            Warnings = warnings,
        };

    /// <summary>The table in which columns are converted from the unit that was assumed to the one that the data showed.</summary>
    internal static ScaledTable Exchanged(ScaledTable table, IReadOnlyList<PlannedColumn> columns, Unit unit)
    {
        SparseColumn?[] sparse = [.. table.Sparse];
        foreach (PlannedColumn column in columns)
        {
            double factor = unit.Factor / column.Unit!.Factor;
            sparse[column.Index] = table.Values(column).With(value => value * factor);
        }

        IEnumerable<PlannedColumn> told = columns.Select(c =>
            WithRange(c with { Unit = unit, HowKnown = "data", UnitOpen = false, UnitProvisional = false }, table.Rows)
        );
        return table with { Plan = table.Plan.With(told), Sparse = sparse };
    }

    /// <summary>The table without columns whose unit is unknown.</summary>
    internal static ScaledTable Without(ScaledTable table, IReadOnlyList<PlannedColumn> columns) =>
        table with
        {
            Plan = table.Plan.With(columns.Select(c => c.LeftOut(UnitNotKnown))),
            Warnings = [.. table.Warnings, .. LeftOutWarning(table.Rows, columns)],
        };

    /// <summary>The warning about columns that are left out because their unit is unknown; none where they have no value.</summary>
    internal static IEnumerable<Warning> LeftOutWarning(LogRows rows, IReadOnlyList<PlannedColumn> columns)
    {
        (double least, double most) = Range(rows, columns);
        if (least <= most)
        {
            yield return new(
                "unit-unknown",
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"The unit of '{CellText.Cut(columns[0].Header)}' is not given and its values ({least:G4} to {most:G4}) do not "
                        + $"show it; it is left out. Give the unit in the header or a columns file."
                )
            );
        }
    }

    /// <summary>Least and greatest value of the columns, in the log's numbers with the scale of a columns file.</summary>
    internal static (double Least, double Most) Range(LogRows rows, IEnumerable<PlannedColumn> columns)
    {
        double least = double.PositiveInfinity,
            most = double.NegativeInfinity;
        foreach (PlannedColumn column in columns)
        {
            least = Math.Min(least, rows.Counts[column.Index].Min * column.Scale);
            most = Math.Max(most, rows.Counts[column.Index].Max * column.Scale);
        }

        return (least, most);
    }

    /// <summary>The column with its range in the tool's unit.</summary>
    internal static PlannedColumn WithRange(PlannedColumn column, LogRows rows)
    {
        ColumnCount count = rows.Counts[column.Index];
        double a = column.Unit!.ToTool(count.Min * column.Scale),
            b = column.Unit.ToTool(count.Max * column.Scale);
        return column with { Range = count.Filled == 0 ? null : (Math.Min(a, b), Math.Max(a, b)) };
    }

    private static double[][] Taken(ColumnNumbers numbers, PlannedColumn?[] columns)
    {
        double[][] taken = [.. columns.Select(c => numbers.TakeDense(c!.Index))];
        for (int axis = 0; axis < taken.Length; axis++)
        {
            Scale(taken[axis], columns[axis]!.Unit!.Factor * columns[axis]!.Scale);
        }

        return taken;
    }

    private static SparseColumn? Scaled(ColumnNumbers numbers, PlannedColumn column)
    {
        if (!numbers.IsSparse(column.Index))
        {
            return null;
        }

        SparseColumn raw = numbers.TakeSparse(column.Index);
        return column.Used && column.Unit is { } unit && column.Channel!.Quantity is not (Quantity.MotorId or Quantity.ImuId)
            ? raw.With(value => unit.ToTool(value * column.Scale))
            : raw;
    }

    private static void Scale(Span<double> values, double factor)
    {
        if (factor == 1)
        {
            return;
        }

        for (int i = 0; i < values.Length; i++)
        {
            values[i] *= factor;
        }
    }
}
