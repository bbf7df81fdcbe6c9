using System.Globalization;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Checks;

/// <summary>Acceleration and rates that no sensor gives in the unit that was settled on: unreadable cells, told with their place.</summary>
internal static class SensorBounds
{
    // Shock accelerometers end near 100,000 g, rate sensors for projectiles near 100,000 °/s: common practice.
    private const double MostAccelerationMps2 = 1e6,
        MostRateRadps = 1e4;

    /// <summary>Empties the cells; returns in how many rows there was one.</summary>
    /// <exception cref="InputFaultException">There are more such rows than the user allows.</exception>
    internal static int Apply(LogFile file, double mostShare)
    {
        if (file.AccelerationMps2 is not { } acceleration)
        {
            return 0;
        }

        var beyond = new SortedSet<int>();
        Cell? first = null;
        Empty(acceleration, file.Plan.Acceleration, MostAccelerationMps2, "m/s²", beyond, ref first);
        Empty(file.RatesRadps ?? [], file.Plan.Rates, MostRateRadps, "rad/s", beyond, ref first);
        if (first is not { } cell)
        {
            return 0;
        }

        int line = file.Body.LineOf(cell.Row);
        string what = string.Create(
            CultureInfo.InvariantCulture,
            $"{cell.Value:G3} {cell.Unit} under '{CellText.Cut(cell.Column.Header)}' is more than any sensor gives"
        );
        if (beyond.Count > mostShare * file.Body.Rows)
        {
            throw file.Fault(
                line,
                cell.Column.Index + 1,
                string.Create(CultureInfo.InvariantCulture, $"{what}, and so in {beyond.Count} of {file.Body.Rows} rows"),
                "Check the column's unit (a columns file can give unit and scale), or export the log again."
            );
        }

        file.Warnings.Add(
            new(
                "values-beyond-sensors",
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{beyond.Count} rows were left out: line {line}, column {cell.Column.Index + 1}: {what}."
                )
            )
        );
        return beyond.Count;
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
