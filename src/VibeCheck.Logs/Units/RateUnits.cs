using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Units;

/// <summary>Decides the unit of the rates: from the header, else from the data by <see cref="RateUnit"/>. Rates whose unit remains unknown
/// are left out.</summary>
/// <param name="table">The numbers in the log's own units.</param>
/// <param name="warnings">Receives warnings.</param>
internal sealed class RateUnits(TimedTable table, List<Warning> warnings)
{
    private readonly LogRows _rows = table.Rows;

    /// <summary>The columns with their units and ranges; all three are left out where the unit is not known.</summary>
    /// <param name="plan">The columns of the log; the unit of acceleration must be decided.</param>
    /// <exception cref="InputFaultException">Header and data contradict each other.</exception>
    internal IReadOnlyList<PlannedColumn> Decide(ColumnPlan plan)
    {
        PlannedColumn[] columns = [.. plan.Rates.Select(c => c!)];
        if (columns.Any(c => c.Unit is null || c.Unit.Kind == UnitKind.Counts))
        {
            double[][] raw = [.. columns.Select(c => table.Numbers.Dense(c.Index))];
            bool counts = columns.Any(c => c.Unit?.Kind == UnitKind.Counts) || AreRawCounts(plan, columns, raw);
            (Unit Unit, bool IsSure)? found = counts ? null : RateUnit.Find(raw, table.TimeS, UpAxis(plan));
            if (found is not (Unit unit, bool isSure))
            {
                WarnLeftOut(columns[0], counts);
                return [.. columns.Select(c => c.LeftOut(UnitScaling.UnitNotKnown))];
            }

            columns = [.. columns.Select(c => c.Unit is null ? c with { Unit = unit, HowKnown = isSure ? "data" : "data, not sure" } : c)];
            if (!isSure)
            {
                WarnUnsure(columns[0], unit);
            }
        }

        columns = [.. columns.Select(c => UnitScaling.WithRange(c, _rows))];
        RefuseOddRates(columns);
        return columns;
    }

    private void WarnLeftOut(PlannedColumn first, bool counts)
    {
        string rates = $"The rates ('{CellText.Cut(first.Header)}' and others) ";
        warnings.Add(
            new(
                "rates-unit-unknown",
                counts
                    ? rates
                        + "are raw counts; they are left out. Give unit and scale in a columns file: unit deg/s, and as scale "
                        + "how many deg/s one count is."
                    : rates
                        + "have no unit and the data fit deg/s and rad/s; they are left out. Give it with --rate-unit. Only "
                        + "the levels of the rates depend on it: vibration, speeds and temperatures do not."
            )
        );
    }

    private void WarnUnsure(PlannedColumn first, Unit unit) =>
        warnings.Add(
            new(
                "rates-unit-unsure",
                $"The rates ('{CellText.Cut(first.Header)}' and others) have no unit. They are read as {unit.Symbol}, "
                    + $"not sure: a very steady hover in deg/s would look alike. Only the levels of the rates depend on it: "
                    + $"vibration, speeds and temperatures do not. --rate-unit settles it."
            )
        );

    /// <summary>Whole numbers next to acceleration in raw counts, or under headers that say raw, are counts too.</summary>
    private static bool AreRawCounts(ColumnPlan plan, PlannedColumn[] columns, double[][] raw) =>
        columns.All(c => c.Scale == 1 && c.HowKnown != "columns file")
        && (
            plan.Acceleration.Any(a => a?.Unit?.Symbol == UnitTable.RawCounts.Symbol)
            || columns.All(c => c.Header.Contains("raw", StringComparison.OrdinalIgnoreCase))
        )
        && raw.All(RawCounts.AreWhole);

    /// <summary>The axis along which gravity acts, 0 to 2.</summary>
    private int UpAxis(ColumnPlan plan) =>
        AccelerationUnits.Largest([
            .. plan.Acceleration.Select(c => ColumnMedian.Of(table.Numbers.Dense(c!.Index)) * (c.Unit!.Factor * c.Scale)),
        ]);

    /// <summary>Refuses rates that no sensor reaches in the stated unit, where another unit is plausible.</summary>
    private void RefuseOddRates(PlannedColumn[] columns)
    {
        // Sensor ranges end at 35 to 70 rad/s (2000 to 4000 deg/s): common practice.
        const double MostRadps = 90;
        foreach (PlannedColumn column in columns.Where(c => c.HowKnown is "header" or "units row" && c.Range is not null))
        {
            ColumnCount count = _rows.Counts[column.Index];
            double most = Math.Max(Math.Abs(count.Min), Math.Abs(count.Max)) * Math.Abs(column.Scale);
            Unit? better = ((Unit[])[UnitTable.DegPerS, UnitTable.MillidegPerS]).FirstOrDefault(u =>
                u.Factor < column.Unit!.Factor && most * u.Factor < MostRadps / 2
            );
            if (most * column.Unit!.Factor > MostRadps && better is not null)
            {
                throw _rows.Fault(
                    _rows.Form.HeaderLine,
                    column.Index + 1,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"'{CellText.Cut(column.Header)}' says {column.Unit.Symbol}, but its values run from {count.Min:0.####} to "
                            + $"{count.Max:0.####}, more than any sensor's range; the numbers fit {better.Symbol}"
                    ),
                    "Say which is right with --rate-unit or in a columns file."
                );
            }
        }
    }
}
