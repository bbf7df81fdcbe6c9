using System.Globalization;
using System.Text;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>Decides for each column what it is, which are read and how.</summary>
internal sealed class ColumnPlanner
{
    private const string NamesNoMotor = "names no motor";

    private readonly LogForm _form;
    private readonly ReadOptions _options;
    private readonly string _path;

    private readonly List<ColumnDraft> _columns = [];
    private readonly List<Warning> _warnings = [];
    private readonly ColumnDraft?[] _acceleration = new ColumnDraft?[3];
    private readonly ColumnDraft?[] _rates = new ColumnDraft?[3];
    private ColumnDraft? _time;
    private ColumnDraft? _motorId;
    private ColumnDraft? _imuId;
    private bool _timeIsText;

    private ColumnPlanner(LogForm form, ReadOptions options, string path) => (_form, _options, _path) = (form, options, path);

    /// <exception cref="InputFaultException">The columns, or what is said of them, cannot be used.</exception>
    internal static ColumnPlan Plan(LogForm form, ReadOptions options, string path)
    {
        var planner = new ColumnPlanner(form, options, path);
        planner.NameColumns();
        planner.RequireNames();
        planner.TellGuesses();
        planner.ChooseTime();
        planner.ChooseIds();
        planner.ChooseImu();
        planner.ChooseOthers();
        return planner.Planned();
    }

    /// <summary>What headers, units row, columns file and user say, whether or not the log can be read by it.</summary>
    internal static ColumnPlan PlanHeaders(LogForm form, ReadOptions options, string path)
    {
        var planner = new ColumnPlanner(form, options, path);
        planner.NameColumns();
        return planner.Planned();
    }

    private ColumnPlan Planned() =>
        new()
        {
            Columns = [.. _columns.Select(c => c.Planned())],
            Warnings = [.. _warnings],
            TimeIndex = _time?.Index,
            MotorIdIndex = _motorId?.Index,
            ImuIdIndex = _imuId?.Index,
            AccelerationIndices = [.. _acceleration.Select(a => a?.Index)],
            RateIndices = [.. _rates.Select(r => r?.Index)],
            TimeIsText = _timeIsText,
        };

    /// <exception cref="InputFaultException">There is no header, and no columns file that says what the numbered columns are.</exception>
    private void RequireNames()
    {
        if (!_form.HasHeader && _columns.All(c => c.Channel is null))
        {
            string row = string.Join((char)_form.Separator, _form.FirstRows[0]);
            throw Fault(
                _form.DataLine,
                null,
                $"there is no header above the numbers (this line holds '{CellText.Cut(row)}')",
                $"Say what the columns are: vibecheck read {_path} --write-columns columns.toml numbers them and shows their values; "
                    + $"check the file and give it with --columns columns.toml. Or add a first line such as "
                    + $"time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2."
            );
        }
    }

    private void TellGuesses()
    {
        foreach (ColumnGuess guess in Planned().Guesses(_form))
        {
            _warnings.Add(
                new(
                    "looks-like",
                    $"{guess.Columns} ({guess.Why}) look like {guess.Text}, but "
                        + $"{(_form.HasHeader ? "their headers do not say so" : "nothing confirms it")}: they are not used. A columns file "
                        + $"settles it (vibecheck read --write-columns)."
                )
            );
        }
    }

    private void NameColumns()
    {
        Dictionary<int, (int Rotor, Unit? Unit)> speeds = NumberedSpeeds.Of(_form.Headers);
        for (int i = 0; i < _form.Headers.Count; i++)
        {
            var column = new ColumnDraft(i, _form.Headers[i]);
            (column.Channel, column.Unit) = ChannelFinder.Find(column.Header);
            if (speeds.TryGetValue(i, out (int Rotor, Unit? Unit) speed))
            {
                (column.Channel, column.Unit) = (new(Quantity.RotorSpeed) { MotorNumber = speed.Rotor }, speed.Unit);
            }

            column.HowKnown = column.Channel is null ? null : "header";
            if (column.Channel is not null && _form.UnitsRow is not null)
            {
                TakeUnitsRow(column, CellText.StripBrackets(_form.UnitsRow[i]));
            }
            else if (
                column.Channel is null
                && _form.UnitsRow is not null
                && UnitTable.Find(CellText.StripBrackets(_form.UnitsRow[i])).Count > 0
            )
            {
                (Channel? channel, Unit? unit) = ChannelFinder.Find($"{column.Header} [{CellText.StripBrackets(_form.UnitsRow[i])}]");
                (column.Channel, column.Unit, column.HowKnown) = (channel, unit, channel is null ? null : "units row");
            }

            if (_options.Columns?.Find(column.Header) is { } entry)
            {
                TakeEntry(column, entry);
            }

            _columns.Add(column);
        }

        TakeUsersUnits();
    }

    private void TakeUnitsRow(ColumnDraft column, string text)
    {
        Unit? unit = UnitTable.Find(text, column.Channel!.Quantity);
        if (unit is null)
        {
            return;
        }

        if (column.Unit is not null && column.Unit != unit)
        {
            throw Fault(
                _form.HeaderLine,
                column.Index + 1,
                $"header '{CellText.Cut(column.Header)}' says {column.Unit.Symbol}, the units row says {unit.Symbol}",
                "Correct one of them, or say which is right in a columns file (vibecheck read --write-columns)."
            );
        }

        column.Unit = unit;
        column.HowKnown = "units row";
    }

    private void TakeEntry(ColumnDraft column, ColumnEntry entry)
    {
        column.HowKnown = "columns file";
        column.Scale = entry.Scale;
        column.SaidMotor = entry.Motor;
        column.Channel =
            EntryChannels.Parse(entry.Channel, entry.Motor, column.Channel)
            ?? (
                entry.Channel.Equals("ignore", StringComparison.OrdinalIgnoreCase)
                    ? null
                    : throw EntryFault(
                        entry,
                        $"'{CellText.Cut(entry.Channel)}' is not a " + $"channel",
                        "Channels are: " + EntryChannels.All + "."
                    )
            );
        if (entry.Unit is not null && column.Channel is not null)
        {
            column.Unit =
                UnitTable.Find(entry.Unit, column.Channel.Quantity)
                ?? throw EntryFault(
                    entry,
                    $"'{CellText.Cut(entry.Unit)}' is not a unit for {column.Channel.Show(entry.Motor)}",
                    "Write a unit such as g, deg/s, rpm, % or ms."
                );
        }
        else if (column.Channel is null || (column.Unit is not null && !UnitTable.Fits(column.Unit, column.Channel.Quantity)))
        {
            column.Unit = null;
        }
    }

    private void TakeUsersUnits()
    {
        void Take(Quantity quantity, string? text, string option)
        {
            if (text is null)
            {
                return;
            }

            Unit unit =
                UnitTable.Find(text, quantity)
                ?? throw new InputFaultException(
                    new InputFault(
                        _path,
                        null,
                        null,
                        $"'{CellText.Cut(text)}' is not a unit for {option}",
                        "Write a unit such as s, ms, g, m/s2 or deg/s."
                    )
                );
            foreach (ColumnDraft column in _columns.Where(c => c.Channel?.Quantity == quantity))
            {
                (column.Unit, column.HowKnown) = (unit, "user");
            }
        }

        Take(Quantity.Time, _options.TimeUnit, "time");
        Take(Quantity.Acceleration, _options.AccelerationUnit, "acceleration");
        Take(Quantity.Rate, _options.RateUnit, "rates");
        if (_options.CountsPerG is { } counts)
        {
            foreach (ColumnDraft column in _columns.Where(c => c.Channel?.Quantity == Quantity.Acceleration))
            {
                column.Unit = new Unit("counts", UnitKind.Acceleration, UnitTable.GravityMps2 / counts);
                column.HowKnown = "user";
            }
        }
    }

    private void ChooseTime()
    {
        ColumnDraft? best = null;
        double bestScore = 0;
        foreach (ColumnDraft column in _columns.Where(c => c.Channel?.Quantity == Quantity.Time))
        {
            (double score, bool text) = TimeScore(column);
            column.NotUsedWhy = score <= 0 ? "not a rising time" : "another time column is used";
            if (score > bestScore)
            {
                (best, bestScore, _timeIsText) = (column, score, text);
            }
        }

        if (best is null)
        {
            if ((_options.RowsPerSecond ?? _options.Columns?.RowsPerSecond) is null)
            {
                throw NoTime();
            }

            return;
        }

        _time = best;
        best.Used = true;
        best.NotUsedWhy = null;
        if (_timeIsText)
        {
            best.Unit = null;
        }
    }

    private InputFaultException NoTime()
    {
        ColumnDraft? bad = _columns.FirstOrDefault(c => c.Channel?.Quantity == Quantity.Time);
        if (bad is not null)
        {
            string[] cells = [.. _form.FirstRows.Select(r => bad.Index < r.Length ? r[bad.Index].Trim() : "").Where(c => c.Length > 0)];
            string? unread = Array.Find(cells, c => !ReadsAsTime(c));
            bool first = unread is null || unread == cells[0];
            return Fault(
                first ? _form.DataLine : null,
                bad.Index + 1,
                $"'{CellText.Cut(unread ?? cells.FirstOrDefault() ?? "")}' under '{CellText.Cut(bad.Header)}' is not a "
                    + $"time{(unread is null ? " that rises" : "")}",
                "Export the time of each row in s, ms, µs or ns without marks between thousands, or as ISO date and time "
                    + "(2026-05-01T12:00:00.125)."
            );
        }

        return Fault(
            _form.HeaderLine,
            null,
            $"no column is named as time (the header starts '{CellText.Cut(string.Join(", ", _form.Headers.Take(8)))}')",
            "Name the time column time_s, time_ms or time_us, or name it in a columns file (vibecheck read --write-columns); for a log "
                + "without times give --rows-per-second."
        );
    }

    private bool ReadsAsTime(string cell)
    {
        byte[] text = Encoding.Latin1.GetBytes(cell);
        foreach (bool isText in (bool[])[false, true])
        {
            int at = 0;
            if (new StampReader(_form.DecimalMark, isText).TryRead(text, ref at, text.Length, out _) && at == text.Length)
            {
                return true;
            }
        }

        return NumberText.IsMissing(text);
    }

    /// <summary>Cells of the first rows must be stamps that rise; text or unit known and a fine step are better.</summary>
    private (double Score, bool Text) TimeScore(ColumnDraft column)
    {
        int good = 0,
            text = 0,
            filled = 0,
            rising = 0,
            changes = 0;
        double before = double.NaN;
        var numbers = new StampReader(_form.DecimalMark, isText: false);
        var texts = new StampReader(_form.DecimalMark, isText: true);
        foreach (string[] row in _form.FirstRows)
        {
            byte[] cell = Encoding.Latin1.GetBytes(column.Index < row.Length ? row[column.Index].Trim() : "");
            if (NumberText.IsMissing(cell))
            {
                continue;
            }

            filled++;
            int at = 0;
            bool number = numbers.TryRead(cell, ref at, cell.Length, out double value) && at == cell.Length;
            at = 0;
            bool stamp = !number && texts.TryRead(cell, ref at, cell.Length, out value);
            if (!number && !stamp)
            {
                continue;
            }

            good++;
            text += stamp ? 1 : 0;
            rising += value >= before ? 1 : 0;
            changes += value != before && !double.IsNaN(before) ? 1 : 0;
            before = value;
        }

        if (good * 2 < filled || good == 0 || (good > 3 && (rising * 2 < good || changes == 0)))
        {
            return (0, false);
        }

        double score =
            1 + (double)changes / good + (column.Unit is not null || text > 0 ? 0.5 : 0) + (column.HowKnown == "columns file" ? 100 : 0);
        return (score + 0.001 * (_columns.Count - column.Index) / Math.Max(1, _columns.Count), text * 2 > good);
    }

    private void ChooseIds()
    {
        bool motorColumns = _columns.Any(c => c.Channel is { IsMotor: true });
        bool namesInHeaders = _columns.Any(c => c.Channel is { IsMotor: true, NamesMotor: true } || c.SaidMotor is not null);
        _motorId = motorColumns && !namesInHeaders ? First(Quantity.MotorId) : null;
        _imuId = First(Quantity.ImuId);
        if (_motorId is not null)
        {
            _motorId.Used = true;
            TakeTemperatureOfNamedEscs(_motorId);
        }

        if (_imuId is not null && !_columns.Any(c => c.Channel?.Quantity == Quantity.Acceleration))
        {
            _imuId = null;
        }

        if (_imuId is not null)
        {
            _imuId.Used = true;
        }
    }

    /// <summary>Where rows are named by ESC, a bare "temp" is the ESC's.</summary>
    private void TakeTemperatureOfNamedEscs(ColumnDraft names)
    {
        ColumnDraft? temp = _columns.FirstOrDefault(c => c.Channel is { Quantity: Quantity.MotorTemp, Doubt: not null });
        if (temp is not null && names.Header.Contains("esc", StringComparison.OrdinalIgnoreCase) && First(Quantity.EscTemp) is null)
        {
            temp.Channel = temp.Channel! with
            {
                Quantity = Quantity.EscTemp,
                Doubt = "the header says only \"temp\"; read as the ESC's temperature, because the rows are named by ESC",
            };
        }
    }

    private ColumnDraft? First(Quantity quantity) => _columns.FirstOrDefault(c => c.Channel?.Quantity == quantity);

    private void ChooseImu()
    {
        int?[] units =
        [
            .. _columns
                .Where(c => c.Channel?.Quantity == Quantity.Acceleration)
                .Select(c => c.Channel!.ImuNumber)
                .Distinct()
                .OrderBy(n => n ?? -1),
        ];
        if (units.Length == 0)
        {
            return;
        }

        if (_imuId is null && _options.ImuUnit > units.Length)
        {
            throw Fault(
                _form.HeaderLine,
                null,
                $"IMU {_options.ImuUnit} was asked for, but the log has {units.Length}",
                "Ask for one that is there (--imu-unit)."
            );
        }

        int? chosen = units[_imuId is null ? _options.ImuUnit - 1 : 0];
        if (units.Length > 1)
        {
            _warnings.Add(
                new(
                    "several-imus",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"The log has {units.Length} IMUs; number {_options.ImuUnit} is used (--imu-unit takes another)."
                    )
                )
            );
        }

        ChooseAxes(Quantity.Acceleration, chosen, _acceleration);
        bool sameNumbers = _columns.Any(c => c.Channel?.Quantity == Quantity.Rate && c.Channel.ImuNumber == chosen);
        int? rates = sameNumbers
            ? chosen
            : _columns.Where(c => c.Channel?.Quantity == Quantity.Rate).Select(c => c.Channel!.ImuNumber).FirstOrDefault();
        ChooseAxes(Quantity.Rate, rates, _rates);
        if (_rates.Any(r => r is null))
        {
            foreach (ColumnDraft? rate in _rates)
            {
                if (rate is not null)
                {
                    (rate.Used, rate.NotUsedWhy) = (false, "not all three axes are there");
                }
            }

            Array.Clear(_rates);
        }
    }

    private void ChooseAxes(Quantity quantity, int? unit, ColumnDraft?[] axes)
    {
        for (int axis = 0; axis < 3; axis++)
        {
            List<ColumnDraft> candidates =
            [
                .. _columns
                    .Where(c => c.Channel is { } ch && ch.Quantity == quantity && ch.Axis == axis && ch.ImuNumber == unit)
                    .OrderByDescending(c => c.HowKnown == "columns file")
                    .ThenByDescending(c => c.Channel!.Rank)
                    .ThenByDescending(c => c.Unit is not null),
            ];
            axes[axis] = candidates.FirstOrDefault();
            foreach (ColumnDraft other in candidates.Skip(1))
            {
                other.NotUsedWhy = $"'{CellText.Cut(candidates[0].Header)}' is used for it";
            }

            if (candidates.Count > 0)
            {
                candidates[0].Used = true;
            }
        }

        foreach (ColumnDraft other in _columns.Where(c => c.Channel?.Quantity == quantity && !c.Used))
        {
            other.NotUsedWhy ??= "another IMU is used";
        }
    }

    /// <summary>Motor columns need a motor, in the header or in the row; of the rest the first of a kind is taken.</summary>
    private void ChooseOthers()
    {
        var taken = new HashSet<(Quantity, int?, string?, string?)>();
        foreach (ColumnDraft column in _columns.Where(c => c.Channel is not null && !c.Used && c.NotUsedWhy is null))
        {
            Channel channel = column.Channel!;
            if (channel.IsMotor && !channel.NamesMotor && column.SaidMotor is null && _motorId is null)
            {
                column.NotUsedWhy = NamesNoMotor;
                continue;
            }

            if (WhyAloneOfNoUse(channel.Quantity) is string why)
            {
                column.NotUsedWhy = why;
                continue;
            }

            if (!taken.Add((channel.Quantity, channel.MotorNumber, channel.MotorName, column.SaidMotor)))
            {
                column.NotUsedWhy = "another column holds the same";
                continue;
            }

            column.Used = true;
        }

        TellNameless();
    }

    /// <summary>Why a column of a kind that is chosen as a whole was not; null for kinds that are taken one by one.</summary>
    private string? WhyAloneOfNoUse(Quantity quantity) =>
        quantity switch
        {
            Quantity.Time => _time is null ? "the rows are counted instead" : "another time column is used",
            Quantity.Acceleration or Quantity.Rate or Quantity.ImuId => "there is no acceleration beside it",
            Quantity.MotorId => "the headers name the motors",
            _ => null,
        };

    private void TellNameless()
    {
        ColumnDraft[] nameless = [.. _columns.Where(c => c.NotUsedWhy == NamesNoMotor)];
        if (nameless.Length > 0)
        {
            string which =
                nameless.Length == 1
                    ? $"'{CellText.Cut(nameless[0].Header)}' names"
                    : string.Create(
                        CultureInfo.InvariantCulture,
                        $"{nameless.Length} columns such as '{CellText.Cut(nameless[0].Header)}' name"
                    );
            _warnings.Add(
                new(
                    "motors-unknown",
                    $"{which} no motor and {(nameless.Length == 1 ? "is" : "are")} left out: write the motor into the header (M1_rpm), "
                        + $"or say it in a columns file."
                )
            );
        }
    }

    private InputFaultException EntryFault(ColumnEntry entry, string problem, string remedy) =>
        new(new InputFault(_options.Columns?.Path ?? _path, entry.Line > 0 ? entry.Line : null, null, problem, remedy));

    private InputFaultException Fault(int? line, int? column, string problem, string remedy) =>
        new(new InputFault(_path, line, column, problem, remedy));
}
