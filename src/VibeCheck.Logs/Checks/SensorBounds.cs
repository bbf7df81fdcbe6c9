using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Checks;

/// <summary>Acceleration and rates that exceed the range of any sensor in the unit decided on. Such cells are unusable; messages give their
/// place.</summary>
internal static class SensorBounds
{
    // Shock accelerometers end near 100,000 g, rate sensors for projectiles near 100,000 °/s: common practice.
    private const double MostAccelerationMps2 = 1e6,
        MostRateRadps = 1e4;

    /// <summary>The table with such cells emptied. Its inertial columns are taken.</summary>
    /// <exception cref="InputFaultException">There are more such rows than the user allows.</exception>
    internal static ScaledTable Applied(ScaledTable table, double mostShare)
    {
        if (table.Inertial is null)
        {
            return table;
        }

        (double[][] acceleration, double[][]? rates) = table.Inertial.Take();
        var beyond = new SortedSet<int>();
        Cell? first = null;
        Empty(acceleration, table.Plan.Acceleration, MostAccelerationMps2, "m/s²", beyond, ref first);
        Empty(rates ?? [], table.Plan.Rates, MostRateRadps, "rad/s", beyond, ref first);
        ScaledTable bounded = table with { Inertial = new(acceleration, rates), RowsBeyondSensors = beyond.Count };
        return first is { } cell ? bounded with { Warnings = [.. table.Warnings, Told(table, cell, beyond.Count, mostShare)] } : bounded;
    }

    private static Warning Told(ScaledTable table, Cell cell, int count, double mostShare)
    {
        int line = table.Rows.LineOf(cell.Row);
        string what = string.Create(
            CultureInfo.InvariantCulture,
            $"{cell.Value:G3} {cell.Unit} under '{CellText.Cut(cell.Column.Header)}' is more than any sensor gives"
        );
        return count > mostShare * table.Rows.Kept
            ? throw table.Fault(
                line,
                cell.Column.Index + 1,
                string.Create(CultureInfo.InvariantCulture, $"{what}, and so in {count} of {table.Rows.Kept} rows"),
                "Check the column's unit (a columns file can give unit and scale), or export the log again."
            )
            : new(
                "values-beyond-sensors",
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{count} rows were left out: line {line}, column {cell.Column.Index + 1}: {what}."
                )
            );
    }

    private static void Empty(double[][] columns, PlannedColumn?[] plan, double most, string unit, SortedSet<int> beyond, ref Cell? first)
    {
        for (int c = 0; c < columns.Length; c++)
        {
            double[] values = columns[c];
            for (int row = 0; row < values.Length; row++)
            {
                if (Math.Abs(values[row]) > most)
                {
                    beyond.Add(row);
                    first ??= new(row, values[row], plan[c]!, unit);
                    values[row] = double.NaN;
                }
            }
        }
    }

    private readonly record struct Cell(int Row, double Value, PlannedColumn Column, string Unit);
}
