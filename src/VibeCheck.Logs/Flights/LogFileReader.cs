using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Checks;
using VibeCheck.Logs.Clocks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Forms;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;
using VibeCheck.Logs.Units;

namespace VibeCheck.Logs.Flights;

/// <summary>Reads one log file: form, columns, cells, stamps, units.</summary>
internal sealed class LogFileReader
{
    private readonly LogFile _file;

    private LogFileReader(LogFile file) => _file = file;

    /// <exception cref="InputFaultException">The file cannot be used.</exception>
    internal static LogFile Read(string path, ReadOptions options, Airframe? airframe, CancellationToken cancellation)
    {
        using LogSource source = LogSource.Open(path);
        LogHead head = LogHead.Read(source);
        LogForm form = FormFinder.Find(head, source, options.Columns?.DecimalMark);
        ColumnPlan plan = ColumnPlan.Of(form, options, path);
        StampReader? stamps = plan.Time is null ? null : new StampReader(form.DecimalMark, plan.TimeIsText);
        var body = new LogBody(source, form, plan.Tasks(), stamps, options.MaxRows, options.Progress);
        body.Read(head, cancellation);
        var file = new LogFile(path, form, plan, body) { ContentHash = source.Hash() };
        LogFileReader reader = new(file);
        reader.CheckRows(options);
        reader.TakeTime(stamps, options);
        reader.NameMotors(airframe);
        reader.TakeColumns();
        new UnitsFromData(file).Apply();
        file.RowsBeyondSensors = SensorBounds.Apply(file, options.MaxUnusableShare);
        return file;
    }

    private void CheckRows(ReadOptions options)
    {
        BadCell? first = _file.Body.Examples.FirstOrDefault();
        if (_file.Body.RowsSeen == 0 || _file.Body.Rows == 0)
        {
            throw _file.Fault(
                first?.Line ?? _file.Form.DataLine,
                first?.Column,
                first is null ? "there are no data rows" : $"'{first.Text}' {first.Problem}, and no row is better",
                "Export the log again, or name its columns in a columns file (vibecheck read --write-columns)."
            );
        }

        double share = (double)_file.Body.RowsUnusable / _file.Body.RowsSeen;
        if (share > options.MaxUnusableShare)
        {
            throw _file.Fault(
                first?.Line,
                first?.Column,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{_file.Body.RowsUnusable} of {_file.Body.RowsSeen} rows can't be used ({share:P0}); the first: '{first?.Text}' "
                        + $"{first?.Problem}"
                ),
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"Mend the export, or allow more with --max-unusable (now {options.MaxUnusableShare})."
                )
            );
        }

        if (_file.Body.RowsUnusable > 0)
        {
            _file.Warnings.Add(
                new(
                    "rows-unusable",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{_file.Body.RowsUnusable} of {_file.Body.RowsSeen} rows could not be used; the first is line {first?.Line}: "
                            + $"'{first?.Text}' {first?.Problem}."
                    )
                )
            );
        }

        if (_file.Body.RepeatedHeaders > 0)
        {
            _file.Phrases.Add(
                _file.Body.RepeatedHeaders == 1
                    ? "header repeated once"
                    : string.Create(CultureInfo.InvariantCulture, $"header repeated {_file.Body.RepeatedHeaders} times")
            );
        }

        if (_file.Body.CutLastLine)
        {
            _file.Warnings.Add(new("last-line-cut", "The last line is cut off and was left out."));
        }
    }

    private void TakeTime(StampReader? stamps, ReadOptions options)
    {
        if (stamps is null)
        {
            double rateHz = (options.RowsPerSecond ?? options.Columns?.RowsPerSecond)!.Value;
            _file.TimeS = new double[_file.Body.Rows];
            for (int i = 0; i < _file.TimeS.Length; i++)
            {
                _file.TimeS[i] = i / rateHz;
            }

            _file.Phrases.Add(string.Create(CultureInfo.InvariantCulture, $"no time column, {rateHz} rows a second as given"));
            return;
        }

        PlannedColumn column = _file.Plan.Time!;
        _file.TimeS = _file.Body.Dense[column.Index]!.TakeArray();
        double ticks = 0;
        if (stamps.IsText)
        {
            _file.Phrases.Add(stamps.HasDate ? "time as date and time" : "time as hh:mm:ss");
            _file.StartedUtc = stamps.HasDate ? new DateTime(stamps.Base, DateTimeKind.Utc) : null;
            _file.OriginS = stamps.HasDate
                ? (_file.StartedUtc!.Value - DateTime.UnixEpoch).TotalSeconds
                : stamps.Base / (double)TimeSpan.TicksPerSecond;
        }
        else
        {
            TimeUnit.Resolve(_file, column, _file.TimeS);
            ticks = column.Unit!.Factor * column.Scale;
            for (int i = 0; i < _file.TimeS.Length; i++)
            {
                _file.TimeS[i] *= ticks;
            }

            _file.OriginS = stamps.Base * ticks;
            _file.StartedUtc = _file.OriginS is > 1.0e9 and < 4.0e9
                ? DateTime.UnixEpoch.AddTicks((long)(_file.OriginS * TimeSpan.TicksPerSecond))
                : null;
            _file.Phrases.Add($"time in {column.Unit.Symbol}");
        }

        CleanStamps(ticks);
        ClockBounds.Check(_file);
    }

    private void CleanStamps(double ticks)
    {
        if (_file.Plan.MotorId is not null && !_file.Plan.HasImu)
        {
            // One motor after the other in one file: each has its own run of stamps.
            return;
        }

        if (RowOrder.Find(_file.TimeS, AreAlike) is { } order)
        {
            _file.TimeS = Array.ConvertAll(order, row => _file.TimeS[row]);
            _file.Body.Reorder(order);
            _file.Warnings.Add(new("rows-sorted", "Rows stood out of order in time; they were put in the order of their stamps."));
        }

        _file.Stamps = StampCleaner.Clean(_file.TimeS, ticks);
        void Warn(int count, string code, string text)
        {
            if (count > 0)
            {
                _file.Warnings.Add(new(code, string.Create(CultureInfo.InvariantCulture, $"{count} × {text}")));
            }
        }

        Warn(
            _file.Stamps.Wraps,
            "clock-wrapped",
            _file.Plan.TimeIsText ? "the clock passed midnight; put right." : "the time counter ran over and began at zero; put right."
        );
        Warn(
            _file.Stamps.Resets,
            "clock-reset",
            "the time jumped back for good: the logger restarted. The pause is not in the log; 1 s was put there, and nothing is "
                + "calculated across it."
        );
        Warn(_file.Stamps.StepsBack, "steps-back", "a row stood out of order in time and was left out.");
    }

    private bool AreAlike(int one, int other) =>
        Array.TrueForAll(_file.Body.Dense, column => column is null || column.Count == 0 || column[one].Equals(column[other]));

    private void NameMotors(Airframe? airframe)
    {
        List<int> numbers =
        [
            .. _file.Plan.MotorColumns.Where(c => c.Channel!.MotorNumber.HasValue).Select(c => c.Channel!.MotorNumber!.Value),
        ];
        if (_file.Plan.MotorId is not null)
        {
            numbers.AddRange(_file.Body.Labels.Select(MotorNames.LoneNumber).Where(n => n.HasValue).Select(n => n!.Value));
            _file.Phrases.Add("one row a motor and time");
        }

        _file.Motors = new MotorNames(airframe, numbers);
        if (_file.Motors.NumberingPhrase is { } phrase)
        {
            _file.Phrases.Add(phrase);
        }

        foreach (PlannedColumn column in _file.Plan.MotorColumns)
        {
            Channel channel = column.Channel!;
            column.MotorId = column.SaidMotor is { } said
                ? _file.Motors.OfText(said)
                : _file.Motors.InHeader(column.Header)
                    ?? (
                        channel.MotorNumber is { } number ? _file.Motors.OfNumber(number)
                        : channel.MotorName is { } name ? _file.Motors.OfText(name)
                        : null
                    );
        }

        WarnOfDoubts();
    }

    private void WarnOfDoubts()
    {
        foreach (IGrouping<string, PlannedColumn> doubt in _file.Plan.MotorColumns.Where(InDoubt).GroupBy(c => c.Channel!.Doubt!))
        {
            const int MostNamed = 4;
            string[] headers = [.. doubt.Select(c => $"'{CellText.Cut(c.Header)}'")];
            string more =
                headers.Length > MostNamed ? string.Create(CultureInfo.InvariantCulture, $" and {headers.Length - MostNamed} more") : "";
            _file.Warnings.Add(
                new("meaning-unsure", $"{string.Join(", ", headers.Take(MostNamed))}{more}: {doubt.Key}. A columns file settles it.")
            );
        }
    }

    /// <summary>A bare "temp" is the motor's for sure where the ESC has a temperature of its own.</summary>
    private bool InDoubt(PlannedColumn column) =>
        column.Channel!.Doubt is not null
        && column.HowKnown != "columns file"
        && !(
            column.Channel.Quantity == Quantity.MotorTemp
            && _file.Plan.MotorColumns.Any(c => c.MotorId == column.MotorId && c.Channel!.Quantity == Quantity.EscTemp)
        );

    private void TakeColumns()
    {
        if (!_file.Plan.HasImu)
        {
            return;
        }

        if (_file.Plan.Acceleration.All(a => a is not null))
        {
            _file.AccelerationMps2 = [.. _file.Plan.Acceleration.Select(a => _file.Body.Dense[a!.Index]!.TakeArray())];
            _file.RatesRadps = _file.Plan.Rates[0] is null
                ? null
                : [.. _file.Plan.Rates.Select(r => _file.Body.Dense[r!.Index]!.TakeArray())];
            return;
        }

        int missing = Array.FindIndex(_file.Plan.Acceleration, a => a is null);
        string found = string.Join(", ", _file.Plan.Acceleration.Where(a => a is not null).Select(a => $"'{CellText.Cut(a!.Header)}'"));
        throw _file.Fault(
            _file.Form.HeaderLine,
            null,
            $"acceleration along {"xyz"[missing]} is missing (found {found})",
            "Export all three axes, or name the columns in a columns file (vibecheck read --write-columns)."
        );
    }
}
