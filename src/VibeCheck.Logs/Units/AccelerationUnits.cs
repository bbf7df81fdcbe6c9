using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Units;

/// <summary>Decides the unit of acceleration: the mean over a flight must equal gravity, 9.81 m/s².</summary>
/// <param name="table">The numbers in the log's own units.</param>
/// <param name="warnings">Receives warnings.</param>
internal sealed class AccelerationUnits(TimedTable table, List<Warning> warnings)
{
    // Beyond this relative difference, gravity does not identify a unit. A unit in the header is contradicted only by a better match.
    private const double NearGravity = 0.12,
        NearerGravity = 0.06;

    private readonly LogRows _rows = table.Rows;

    /// <summary>The columns with their units and ranges.</summary>
    /// <param name="columns">Acceleration x, y, z.</param>
    /// <exception cref="InputFaultException">Header and data contradict each other, or the data show no unit.</exception>
    internal IEnumerable<PlannedColumn> Decide(PlannedColumn[] columns)
    {
        double[][] raw = [.. columns.Select(c => table.Numbers.Dense(c.Index))];
        double[] mean = [.. columns.Select((c, axis) => ColumnMedian.Of(raw[axis]) * c.Scale)];
        double gravity = Math.Sqrt(mean.Sum(m => m * m));
        if (columns.Any(c => c.Unit is null))
        {
            Unit unit = UnitByGravity(columns, gravity, raw);
            columns = [.. columns.Select(c => c.Unit is null ? c with { Unit = unit, HowKnown = "data" } : c)];
        }

        RefuseCounts(columns, gravity);
        double inTool = Math.Sqrt(Enumerable.Range(0, 3).Sum(a => Math.Pow(columns[a].Unit!.ToTool(mean[a]), 2)));
        CheckGravity(columns[Largest(mean)], gravity, inTool);
        return columns.Select(c => UnitScaling.WithRange(c, _rows));
    }

    /// <summary>Index of the value with the largest size: the axis of the three along which gravity acts.</summary>
    internal static int Largest(double[] values)
    {
        int largest = 0;
        for (int axis = 1; axis < values.Length; axis++)
        {
            largest = Math.Abs(values[axis]) > Math.Abs(values[largest]) ? axis : largest;
        }

        return largest;
    }

    private void RefuseCounts(PlannedColumn[] columns, double gravity)
    {
        if (Array.Find(columns, c => c.Unit!.Kind == UnitKind.Counts) is { } counts)
        {
            throw _rows.Fault(
                _rows.Form.HeaderLine,
                counts.Index + 1,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"'{CellText.Cut(counts.Header)}' is in raw counts (gravity comes out as about {gravity:F0} of them)"
                ),
                "Give the counts for one g with --counts-per-g, or a unit and scale in a columns file."
            );
        }
    }

    private Unit UnitByGravity(PlannedColumn[] columns, double gravity, double[][] raw)
    {
        foreach (Unit unit in (Unit[])[UnitTable.G, UnitTable.Mps2, UnitTable.MilliG])
        {
            if (Math.Abs(unit.ToTool(gravity) / UnitTable.GravityMps2 - 1) < NearGravity)
            {
                return unit;
            }
        }

        double power = Math.Pow(2, Math.Round(Math.Log2(Math.Max(gravity, 1))));
        bool counts = gravity > 200 && raw.All(RawCounts.AreWhole);
        throw _rows.Fault(
            _rows.Form.HeaderLine,
            columns[0].Index + 1,
            string.Create(
                CultureInfo.InvariantCulture,
                $"the unit of '{CellText.Cut(columns[0].Header)}' is not given, and gravity does not show it (over the record it comes "
                    + $"out as {gravity:G4})"
            ),
            counts
                ? string.Create(
                    CultureInfo.InvariantCulture,
                    $"These look like raw counts: give the counts for one g with --counts-per-g (perhaps {power:F0}; the sensor's "
                        + $"settings say)."
                )
                : "Say it with --acc-unit g or --acc-unit m/s2, or in the header."
        );
    }

    /// <summary>Compares the mean acceleration with gravity. A header that is wrong by a known unit is refused; anything else unusual is a
    /// warning.</summary>
    /// <param name="column">The axis along which gravity acts.</param>
    /// <param name="raw">Length of the mean acceleration in the log's own numbers.</param>
    /// <param name="inToolMps2">The same from the units of the columns, m/s².</param>
    private void CheckGravity(PlannedColumn column, double raw, double inToolMps2)
    {
        double share = inToolMps2 / UnitTable.GravityMps2;
        if (share is > 0.75 and < 1.3)
        {
            return;
        }

        Unit? better = ((Unit[])[UnitTable.G, UnitTable.Mps2, UnitTable.MilliG]).FirstOrDefault(u =>
            Math.Abs(u.ToTool(raw) / UnitTable.GravityMps2 - 1) < NearerGravity
        );
        bool told = column.HowKnown is "header" or "units row";
        if (better is not null && told)
        {
            throw _rows.Fault(
                _rows.Form.HeaderLine,
                column.Index + 1,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"'{CellText.Cut(column.Header)}' says {column.Unit!.Symbol}, but then gravity would be {inToolMps2:G4} m/s²; the "
                        + $"numbers fit {better.Symbol}"
                ),
                "Say which is right with --acc-unit or in a columns file."
            );
        }

        string text = string.Create(CultureInfo.InvariantCulture, $"Over the record the mean acceleration is {inToolMps2:F2} m/s²");
        warnings.Add(
            Math.Abs(share - 2) < 0.15
                ? new Warning(
                    "gravity-doubled",
                    text + ": twice gravity. The scale of the accelerometer is probably wrong by 2, and levels with it."
                )
            : share < 0.3
                ? new Warning("gravity-missing", text + ": gravity is not in the log, so unit and axes could not be checked by it.")
            : new Warning("gravity-odd", text + ", which is not gravity: check unit and scale.")
        );
    }
}
