using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Units;

/// <summary>Decides the units of motor and battery telemetry: from the header, else from the range of the values.</summary>
/// <param name="rows">The rows of the log, with the range of each column.</param>
/// <param name="warnings">Receives warnings.</param>
internal sealed class TelemetryUnits(LogRows rows, List<Warning> warnings)
{
    /// <summary>The columns of one quantity with their units and ranges. Columns whose unit is not known are left out; for rotor speeds,
    /// the vibration may still show it.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="columns">Its columns that are used.</param>
    /// <exception cref="InputFaultException">Header and data contradict each other.</exception>
    internal IEnumerable<PlannedColumn> Decide(Quantity quantity, PlannedColumn[] columns)
    {
        PlannedColumn[] open = [.. columns.Where(c => c.Unit is null)];
        if (open.Length > 0)
        {
            (double least, double most) = UnitScaling.Range(rows, open);
            Unit? unit = Guess(quantity, least, most, columns);
            if (unit is null && quantity != Quantity.RotorSpeed)
            {
                warnings.AddRange(UnitScaling.LeftOutWarning(rows, open));
                return [.. open.Select(c => c.LeftOut(UnitScaling.UnitNotKnown)), .. Checked(quantity, [.. columns.Except(open)])];
            }

            columns = [.. columns.Select(c => c.Unit is null ? WithUnit(c, quantity, unit) : c)];
        }

        return Checked(quantity, columns);
    }

    private static PlannedColumn WithUnit(PlannedColumn column, Quantity quantity, Unit? unit) =>
        column with
        {
            Unit = unit ?? UnitTable.Rpm,
            HowKnown = SaysRpm(column) && quantity == Quantity.RotorSpeed ? "header" : "data",
            UnitOpen = quantity == Quantity.RotorSpeed && !SaysRpm(column),
            UnitProvisional = unit is null,
        };

    private PlannedColumn[] Checked(Quantity quantity, PlannedColumn[] columns)
    {
        if (quantity == Quantity.RotorSpeed)
        {
            RefuseOddSpeeds(columns);
        }

        PlannedColumn[] ranged = [.. columns.Where(c => c.Used).Select(c => UnitScaling.WithRange(c, rows))];
        foreach (PlannedColumn column in ranged)
        {
            RefuseOddRange(column);
        }

        return ranged;
    }

    /// <summary>The unit in which the range of the values is plausible; null where none is.</summary>
    private static Unit? Guess(Quantity quantity, double least, double most, PlannedColumn[] columns) =>
        quantity switch
        {
            Quantity.Command => least >= -0.001 && most is <= 1.05 and > 0 ? UnitTable.Share
            : least >= -0.001 && most is > 3 and <= 105 ? UnitTable.Percent
            : least >= 800 && most is > 1000 and <= 2200 ? UnitTable.PulseMicroseconds
            : least >= -0.001 && most is > 105 and <= 1001 ? UnitTable.Permille
            : least >= -0.001 && most is > 1001 and <= 2048 ? UnitTable.Thousands2
            : null,
            Quantity.RotorSpeed => columns.Any(SaysRpm) ? RpmWord(columns[0].Header)
            : most is > 1200 and < 60_000 ? UnitTable.Rpm
            : null,
            Quantity.Current => most <= 400 ? UnitTable.Ampere : UnitTable.Milliampere,
            Quantity.Voltage or Quantity.BatteryVoltage => most <= 120 ? UnitTable.Volt
            : most > 2500 ? UnitTable.Millivolt
            : null,
            Quantity.MotorTemp or Quantity.EscTemp or Quantity.Ambient => most is > 200 and < 450 && least > 220 ? UnitTable.Kelvin
            : most < 130 ? UnitTable.Celsius
            : null,
            Quantity.Height => UnitTable.Metre,
            _ => null,
        };

    private static bool SaysRpm(PlannedColumn column) => column.Header.Contains("rpm", StringComparison.OrdinalIgnoreCase);

    private static Unit RpmWord(string header) =>
        header.Contains("erpm", StringComparison.OrdinalIgnoreCase) || header.Contains("electr", StringComparison.OrdinalIgnoreCase)
            ? UnitTable.ERpm
            : UnitTable.Rpm;

    /// <summary>Refuses values that no multirotor reaches in the unit of the header.</summary>
    private void RefuseOddRange(PlannedColumn column)
    {
        if (column.HowKnown is not ("header" or "units row") || column.Range is not (double least, double most))
        {
            return;
        }

        // No motor or ESC is that hot during a whole flight.
        const double HottestStartC = 200;
        ColumnCount count = rows.Counts[column.Index];
        bool odd = column.Channel!.Quantity switch
        {
            Quantity.Command => most > 3 || least < -2,
            Quantity.MotorTemp or Quantity.EscTemp or Quantity.Ambient => most > 400 || most < -80 || least > HottestStartC,
            Quantity.Current => most > 2000,
            Quantity.Voltage or Quantity.BatteryVoltage => most > 2000,
            _ => false,
        };
        if (odd)
        {
            Unit? better = Guess(column.Channel.Quantity, count.Min * column.Scale, count.Max * column.Scale, [column]);
            string fits = better is null || better == column.Unit ? "" : $"; the numbers fit {better.Symbol}";
            throw rows.Fault(
                rows.Form.HeaderLine,
                column.Index + 1,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"'{CellText.Cut(column.Header)}' says {column.Unit!.Symbol}, but its values run from {count.Min:0.####} to "
                        + $"{count.Max:0.####}{fits}"
                ),
                "Say the right unit in a columns file (vibecheck read --write-columns)."
            );
        }
    }

    /// <summary>Refuses speeds at which no multirotor flies in the stated unit, where another unit is plausible. The fastest column decides
    /// for all columns with the same unit, because one motor may stand still.</summary>
    private void RefuseOddSpeeds(PlannedColumn[] columns)
    {
        // From large lifters to the smallest racers: common practice, with a margin.
        const double LeastRpm = 300,
            MostRpm = 150_000,
            LikelyRpm = 900;
        foreach (
            IGrouping<Unit, PlannedColumn> said in columns.Where(c => c.Used && c.HowKnown is "header" or "units row").GroupBy(c => c.Unit!)
        )
        {
            if (said.Key.IsElectrical)
            {
                continue;
            }

            PlannedColumn fastest = said.MaxBy(c => rows.Counts[c.Index].Max * c.Scale)!;
            ColumnCount count = rows.Counts[fastest.Index];
            double most = count.Max * fastest.Scale,
                rpm = said.Key.ToTool(most);
            Unit? better = ((Unit[])[UnitTable.Rpm, UnitTable.Hertz, UnitTable.Krpm]).FirstOrDefault(u =>
                u.ToTool(most) is > LikelyRpm and < MostRpm / 2
            );
            if (count.Filled > 0 && (rpm is > 0 and < LeastRpm or > MostRpm) && better is not null)
            {
                throw rows.Fault(
                    rows.Form.HeaderLine,
                    fastest.Index + 1,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"'{CellText.Cut(fastest.Header)}' says {said.Key.Symbol}, but its values run from {count.Min:0.####} to "
                            + $"{count.Max:0.####}, with which nothing flies; the numbers fit {better.Symbol}"
                    ),
                    "Correct the header, or say the right unit in a columns file (vibecheck read --write-columns)."
                );
            }
        }
    }
}
