using System.Globalization;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Units;

/// <summary>Units that headers leave open, found from the data; units that headers give, checked against the data. The data are only
/// read.</summary>
internal sealed class UnitsFromData
{
    private const double Near = 0.06;

    private readonly LogRows _rows;
    private readonly TimedTable _table;
    private readonly List<Warning> _warnings = [];
    private ColumnPlan _plan;
    private bool _usesRates;

    private UnitsFromData(TimedTable table, ColumnPlan plan) => (_rows, _table, _plan) = (table.Rows, table, plan);

    /// <summary>Finds what is open, and refuses contradictions.</summary>
    /// <param name="table">The numbers in the log's own units.</param>
    /// <param name="plan">Its columns, with the motors that they belong to.</param>
    /// <exception cref="InputFaultException">Header and data contradict each other, or a unit cannot be found.</exception>
    internal static UnitDecision Decide(TimedTable table, ColumnPlan plan)
    {
        var units = new UnitsFromData(table, plan);
        if (plan.HasImu)
        {
            units.Acceleration();
            units._usesRates = plan.Rates[0] is not null;
        }

        if (units._usesRates)
        {
            units.Rates();
        }

        foreach (
            IGrouping<Quantity, PlannedColumn> group in plan
                .Columns.Where(c => c.Used && table.Numbers.IsSparse(c.Index))
                .GroupBy(c => c.Channel!.Quantity)
        )
        {
            units.Telemetry(group.Key, [.. group]);
        }

        return new(units._plan, units._usesRates, units._warnings);
    }

    private void Acceleration()
    {
        PlannedColumn[] columns = [.. _plan.Acceleration.Select(c => c!)];
        double[][] raw = [.. columns.Select(c => _table.Numbers.Dense(c.Index))];
        double[] middle = [.. raw.Select(Median)];
        for (int axis = 0; axis < 3; axis++)
        {
            middle[axis] *= columns[axis].Scale;
        }

        double gravity = Math.Sqrt(middle.Sum(m => m * m));
        if (columns.Any(c => c.Unit is null))
        {
            Unit unit = AccelerationByGravity(columns, gravity, raw);
            columns = [.. columns.Select(c => c.Unit is null ? c with { Unit = unit, HowKnown = "data" } : c)];
        }

        if (columns.Any(c => c.Unit!.Kind == UnitKind.Counts))
        {
            PlannedColumn counts = columns.First(c => c.Unit!.Kind == UnitKind.Counts);
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

        double inTool = Math.Sqrt(Enumerable.Range(0, 3).Sum(a => Math.Pow(columns[a].Unit!.ToTool(middle[a]), 2)));
        CheckGravity(columns[Heaviest(middle)], gravity, inTool);
        _plan = _plan.With(columns.Select(c => UnitScaling.WithRange(c, _rows)));
    }

    private static int Heaviest(double[] middle)
    {
        int heaviest = 0;
        for (int axis = 1; axis < middle.Length; axis++)
        {
            heaviest = Math.Abs(middle[axis]) > Math.Abs(middle[heaviest]) ? axis : heaviest;
        }

        return heaviest;
    }

    private Unit AccelerationByGravity(PlannedColumn[] columns, double gravity, double[][] raw)
    {
        foreach (Unit unit in (Unit[])[UnitTable.G, UnitTable.Mps2, UnitTable.MilliG])
        {
            if (Math.Abs(unit.ToTool(gravity) / UnitTable.GravityMps2 - 1) < 0.12)
            {
                return unit;
            }
        }

        double power = Math.Pow(2, Math.Round(Math.Log2(Math.Max(gravity, 1))));
        bool counts = gravity > 200 && raw.All(AreWhole);
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

    /// <param name="column">The axis along which gravity lies.</param>
    /// <param name="raw">Length of the mean acceleration in the log's numbers.</param>
    /// <param name="inToolMps2">The same in the units said, m/s².</param>
    private void CheckGravity(PlannedColumn column, double raw, double inToolMps2)
    {
        double share = inToolMps2 / UnitTable.GravityMps2;
        if (share is > 0.75 and < 1.3)
        {
            return;
        }

        Unit? better = ((Unit[])[UnitTable.G, UnitTable.Mps2, UnitTable.MilliG]).FirstOrDefault(u =>
            Math.Abs(u.ToTool(raw) / UnitTable.GravityMps2 - 1) < Near
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
        _warnings.Add(
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

    private void Rates()
    {
        PlannedColumn[] columns = [.. _plan.Rates.Select(c => c!)];
        double[][] raw = [.. columns.Select(c => _table.Numbers.Dense(c.Index))];
        if (columns.Any(c => c.Unit is null || c.Unit.Kind == UnitKind.Counts))
        {
            bool counts = columns.Any(c => c.Unit?.Kind == UnitKind.Counts) || AreRawCounts(columns, raw);
            (Unit Unit, bool IsSure)? found = counts ? null : RateUnit.Find(raw, _table.TimeS, UpAxis());
            if (found is not (Unit unit, bool isSure))
            {
                string rates = $"The rates ('{CellText.Cut(columns[0].Header)}' and others) ";
                _warnings.Add(
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
                _plan = _plan.With(columns.Select(c => c.LeftOut(UnitScaling.UnitNotKnown)));
                _usesRates = false;
                return;
            }

            columns = [.. columns.Select(c => c.Unit is null ? c with { Unit = unit, HowKnown = isSure ? "data" : "data, not sure" } : c)];

            if (!isSure)
            {
                _warnings.Add(
                    new(
                        "rates-unit-unsure",
                        $"The rates ('{CellText.Cut(columns[0].Header)}' and others) have no unit. They are read as {unit.Symbol}, "
                            + $"not sure: a very steady hover in deg/s would look alike. Only the levels of the rates depend on it: "
                            + $"vibration, speeds and temperatures do not. --rate-unit settles it."
                    )
                );
            }
        }

        columns = [.. columns.Select(c => UnitScaling.WithRange(c, _rows))];
        _plan = _plan.With(columns);
        RefuseOddRates(columns);
    }

    /// <summary>Whole numbers beside acceleration in raw counts, or under headers that say raw, are counts too.</summary>
    private bool AreRawCounts(PlannedColumn[] columns, double[][] raw) =>
        columns.All(c => c.Scale == 1 && c.HowKnown != "columns file")
        && (
            _plan.Acceleration.Any(a => a?.Unit?.Symbol == UnitTable.RawCounts.Symbol)
            || columns.All(c => c.Header.Contains("raw", StringComparison.OrdinalIgnoreCase))
        )
        && raw.All(AreWhole);

    private static bool AreWhole(double[] values)
    {
        const int Some = 2000;
        for (int i = 0; i < Math.Min(Some, values.Length); i++)
        {
            if (values[i] != Math.Floor(values[i]) && !double.IsNaN(values[i]))
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>The axis along which gravity lies.</summary>
    private int UpAxis() =>
        Heaviest([.. _plan.Acceleration.Select(c => Median(_table.Numbers.Dense(c!.Index)) * (c.Unit!.Factor * c.Scale))]);

    /// <summary>Rates that no sensor reaches in the unit said, where another makes sense, are a contradiction.</summary>
    private void RefuseOddRates(PlannedColumn[] columns)
    {
        // Sensors end at 35 to 70 rad/s (2000 to 4000 deg/s): common practice.
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

    private void Telemetry(Quantity quantity, PlannedColumn[] columns)
    {
        if (quantity is Quantity.MotorId or Quantity.ImuId)
        {
            return;
        }

        columns = WithUnits(quantity, columns);
        if (quantity == Quantity.RotorSpeed)
        {
            RefuseOddSpeeds(columns);
        }

        foreach (PlannedColumn column in columns.Where(c => c.Used))
        {
            PlannedColumn ranged = UnitScaling.WithRange(column, _rows);
            _plan = _plan.With([ranged]);
            RefuseOddRange(ranged);
        }
    }

    /// <summary>The columns of one quantity, all with a unit or left out.</summary>
    private PlannedColumn[] WithUnits(Quantity quantity, PlannedColumn[] columns)
    {
        PlannedColumn[] silent = [.. columns.Where(c => c.Unit is null)];
        if (silent.Length == 0)
        {
            return columns;
        }

        (double least, double most) = UnitScaling.Range(_rows, silent);
        Unit? unit = Guess(quantity, least, most, columns);
        if (unit is null && quantity != Quantity.RotorSpeed)
        {
            _plan = _plan.With(silent.Select(c => c.LeftOut(UnitScaling.UnitNotKnown)));
            _warnings.AddRange(UnitScaling.LeftOutWarning(_rows, silent));
            return [.. columns.Except(silent)];
        }

        PlannedColumn Told(PlannedColumn column) =>
            column with
            {
                Unit = unit ?? UnitTable.Rpm,
                HowKnown = SaysRpm(column) && quantity == Quantity.RotorSpeed ? "header" : "data",
                UnitOpen = quantity == Quantity.RotorSpeed && !SaysRpm(column),
                UnitProvisional = unit is null,
            };
        return [.. columns.Select(c => c.Unit is null ? Told(c) : c)];
    }

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

    /// <summary>What no multirotor flies at in a header's unit is a contradiction.</summary>
    private void RefuseOddRange(PlannedColumn column)
    {
        if (column.HowKnown is not ("header" or "units row") || column.Range is not (double least, double most))
        {
            return;
        }

        // No motor or ESC is that hot over a whole flight.
        const double HottestStartC = 200;
        ColumnCount count = _rows.Counts[column.Index];
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
            throw _rows.Fault(
                _rows.Form.HeaderLine,
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

    /// <summary>Speeds with which no multirotor flies, in the unit said, where another makes sense, are a contradiction. The fastest column
    /// speaks for all that say the same: one motor may stand still.</summary>
    private void RefuseOddSpeeds(PlannedColumn[] columns)
    {
        // From large lifters to the smallest racers: common practice, with room.
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

            PlannedColumn fastest = said.MaxBy(c => _rows.Counts[c.Index].Max * c.Scale)!;
            ColumnCount count = _rows.Counts[fastest.Index];
            double most = count.Max * fastest.Scale,
                rpm = said.Key.ToTool(most);
            Unit? better = ((Unit[])[UnitTable.Rpm, UnitTable.Hertz, UnitTable.Krpm]).FirstOrDefault(u =>
                u.ToTool(most) is > LikelyRpm and < MostRpm / 2
            );
            if (count.Filled > 0 && (rpm is > 0 and < LeastRpm or > MostRpm) && better is not null)
            {
                throw _rows.Fault(
                    _rows.Form.HeaderLine,
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

    /// <summary>Median of up to some ten thousand values spread over the column; 0 when none is usable.</summary>
    internal static double Median(double[] values)
    {
        int stride = Math.Max(1, values.Length / 20_000);
        double[] some = new double[values.Length / stride + 1];
        int count = 0;
        for (int i = 0; i < values.Length; i += stride)
        {
            if (!double.IsNaN(values[i]))
            {
                some[count++] = values[i];
            }
        }

        Span<double> usable = some.AsSpan(0, count);
        return count == 0 ? 0 : (Selection.Take(usable, (count - 1) / 2) + Selection.Take(usable, count / 2)) / 2;
    }
}
