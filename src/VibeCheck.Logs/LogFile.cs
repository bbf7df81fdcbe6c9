using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Clocks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs;

/// <summary>One log file read into columns, units applied, stamps made to rise; not yet on an even clock.</summary>
internal sealed class LogFile
{
    private LogFile(string path, LogForm form, ColumnPlan plan, LogBody body)
    {
        (Path, Form, Plan, Body) = (path, form, plan, body);
        Phrases = [.. form.Phrases];
        Warnings = [.. plan.Warnings];
    }

    internal string Path { get; }

    internal LogForm Form { get; }

    internal ColumnPlan Plan { get; }

    internal LogBody Body { get; }

    internal List<string> Phrases { get; }

    internal List<Warning> Warnings { get; }

    /// <summary>Time of each row, s from <see cref="OriginS"/>; NaN where the row's stamp could not be used.</summary>
    internal double[] TimeS { get; private set; } = [];

    /// <summary>Clock reading of the first row, s, on the logger's own clock (since 1970
    /// where <see cref="StartedUtc"/> is known).</summary>
    internal double OriginS { get; private set; }

    /// <summary>Wall clock time of the first row; null for a relative clock.</summary>
    internal DateTime? StartedUtc { get; private set; }

    /// <summary>Clock reading of the first row where that is no wall clock or huge count; else 0.</summary>
    internal double OriginOrZero => StartedUtc.HasValue || OriginS is > 1e6 or < -1e6 ? 0 : OriginS;

    /// <summary>Time of the first usable row, s.</summary>
    internal double FirstTimeS => Array.Find(TimeS, t => !double.IsNaN(t));

    /// <summary>Time of the last usable row, s.</summary>
    internal double LastTimeS => Array.FindLast(TimeS, t => !double.IsNaN(t));

    /// <summary>Rows with acceleration or rates that no sensor gives.</summary>
    internal int RowsBeyondSensors { get; private set; }

    internal StampNotes Stamps { get; private set; } = new();

    /// <summary>Acceleration by row, m/s², x y z; null when the file has none. Handed over by <see cref="TakeInertial"/>.</summary>
    internal double[][]? AccelerationMps2 { get; private set; }

    internal double[][]? RatesRadps { get; private set; }

    /// <summary>For each row the label in the IMU number column; null when there is none.</summary>
    internal SparseColumn? ImuLabels => Plan.ImuId is { } id ? Body.Sparse[id.Index] : null;

    internal MotorNames Motors { get; private set; } = new(null, []);

    internal string? ContentHash { get; private set; }

    internal static LogFile Read(string path, ReadOptions options, Airframe? airframe, CancellationToken cancellation)
    {
        using LogSource source = LogSource.Open(path);
        LogHead head = LogHead.Read(source);
        LogForm form = FormFinder.Find(head, source, options.Columns?.DecimalMark);
        ColumnPlan plan = ColumnPlan.Of(form, options, path);
        StampReader? stamps = plan.Time is null ? null : new StampReader(form.DecimalMark, plan.TimeIsText);
        var body = new LogBody(source, form, options, plan.Tasks(), stamps);
        body.Read(head, cancellation);
        var file = new LogFile(path, form, plan, body) { ContentHash = source.Hash() };
        file.CheckRows(options);
        file.TakeTime(stamps, options);
        file.NameMotors(airframe);
        file.TakeColumns();
        new UnitsFromData(file).Apply();
        file.RowsBeyondSensors = Checks.SensorBounds.Apply(file, options.MaxUnusableShare);
        return file;
    }

    /// <summary>Hands over the inertial columns and forgets them, so that they stand in memory once.</summary>
    internal (double[][] AccelerationMps2, double[][]? RatesRadps) TakeInertial()
    {
        (double[][] acceleration, double[][]? rates) = (AccelerationMps2!, RatesRadps);
        (AccelerationMps2, RatesRadps) = (null, null);
        return (acceleration, rates);
    }

    internal void DropRates() => RatesRadps = null;

    internal SparseColumn Values(PlannedColumn column) => Body.Sparse[column.Index]!;

    internal InputFaultException Fault(int? line, int? column, string problem, string remedy) =>
        new(new InputFault(Path, line, column, problem, remedy));

    private void CheckRows(ReadOptions options)
    {
        BadCell? first = Body.Examples.FirstOrDefault();
        if (Body.RowsSeen == 0 || Body.Rows == 0)
        {
            throw Fault(
                first?.Line ?? Form.DataLine,
                first?.Column,
                first is null ? "there are no data rows" : $"'{first.Text}' {first.Problem}, and no row is better",
                "Export the log again, or name its columns in a columns file (vibecheck read --write-columns)."
            );
        }

        double share = (double)Body.RowsUnusable / Body.RowsSeen;
        if (share > options.MaxUnusableShare)
        {
            throw Fault(
                first?.Line,
                first?.Column,
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{Body.RowsUnusable} of {Body.RowsSeen} rows can't be used ({share:P0}); the first: '{first?.Text}' {first?.Problem}"
                ),
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"Mend the export, or allow more with --max-unusable (now {options.MaxUnusableShare})."
                )
            );
        }

        if (Body.RowsUnusable > 0)
        {
            Warnings.Add(
                new(
                    "rows-unusable",
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{Body.RowsUnusable} of {Body.RowsSeen} rows could not be used; the first is line {first?.Line}: '{first?.Text}' {first?.Problem}."
                    )
                )
            );
        }

        if (Body.RepeatedHeaders > 0)
        {
            Phrases.Add(
                Body.RepeatedHeaders == 1
                    ? "header repeated once"
                    : string.Create(CultureInfo.InvariantCulture, $"header repeated {Body.RepeatedHeaders} times")
            );
        }

        if (Body.CutLastLine)
        {
            Warnings.Add(new("last-line-cut", "The last line is cut off and was left out."));
        }
    }

    private void TakeTime(StampReader? stamps, ReadOptions options)
    {
        if (stamps is null)
        {
            double rateHz = (options.RowsPerSecond ?? options.Columns?.RowsPerSecond)!.Value;
            TimeS = new double[Body.Rows];
            for (int i = 0; i < TimeS.Length; i++)
            {
                TimeS[i] = i / rateHz;
            }

            Phrases.Add(string.Create(CultureInfo.InvariantCulture, $"no time column, {rateHz} rows a second as given"));
            return;
        }

        PlannedColumn column = Plan.Time!;
        TimeS = Body.Dense[column.Index]!.TakeArray();
        double ticks = 0;
        if (stamps.IsText)
        {
            Phrases.Add(stamps.HasDate ? "time as date and time" : "time as hh:mm:ss");
            StartedUtc = stamps.HasDate ? new DateTime(stamps.Base, DateTimeKind.Utc) : null;
            OriginS = stamps.HasDate
                ? (StartedUtc!.Value - DateTime.UnixEpoch).TotalSeconds
                : stamps.Base / (double)TimeSpan.TicksPerSecond;
        }
        else
        {
            TimeUnit.Resolve(this, column, TimeS);
            ticks = column.Unit!.Factor * column.Scale;
            for (int i = 0; i < TimeS.Length; i++)
            {
                TimeS[i] *= ticks;
            }

            OriginS = stamps.Base * ticks;
            StartedUtc = OriginS is > 1.0e9 and < 4.0e9 ? DateTime.UnixEpoch.AddTicks((long)(OriginS * TimeSpan.TicksPerSecond)) : null;
            Phrases.Add($"time in {column.Unit.Symbol}");
        }

        CleanStamps(ticks);
        ClockBounds.Check(this);
    }

    private void CleanStamps(double ticks)
    {
        if (Plan.MotorId is not null && !Plan.HasImu)
        {
            // One motor after the other in one file: each has its own run of stamps.
            return;
        }

        if (RowOrder.Find(TimeS, AreAlike) is { } order)
        {
            TimeS = Array.ConvertAll(order, row => TimeS[row]);
            Body.Reorder(order);
            Warnings.Add(new("rows-sorted", "Rows stood out of order in time; they were put in the order of their stamps."));
        }

        Stamps = StampCleaner.Clean(TimeS, ticks);
        void Warn(int count, string code, string text)
        {
            if (count > 0)
            {
                Warnings.Add(new(code, string.Create(CultureInfo.InvariantCulture, $"{count} × {text}")));
            }
        }

        Warn(
            Stamps.Wraps,
            "clock-wrapped",
            Plan.TimeIsText ? "the clock passed midnight; put right." : "the time counter ran over and began at zero; put right."
        );
        Warn(
            Stamps.Resets,
            "clock-reset",
            "the time jumped back for good: the logger restarted. The pause is not in the log; 1 s was put there, and nothing is calculated across it."
        );
        Warn(Stamps.StepsBack, "steps-back", "a row stood out of order in time and was left out.");
    }

    private bool AreAlike(int one, int other) =>
        Array.TrueForAll(Body.Dense, column => column is null || column.Count == 0 || column[one].Equals(column[other]));

    private void NameMotors(Airframe? airframe)
    {
        List<int> numbers = [.. Plan.MotorColumns.Where(c => c.Channel!.MotorNumber.HasValue).Select(c => c.Channel!.MotorNumber!.Value)];
        if (Plan.MotorId is not null)
        {
            numbers.AddRange(Body.Labels.Select(MotorNames.LoneNumber).Where(n => n.HasValue).Select(n => n!.Value));
            Phrases.Add("one row a motor and time");
        }

        Motors = new MotorNames(airframe, numbers);
        if (Motors.NumberingPhrase is { } phrase)
        {
            Phrases.Add(phrase);
        }

        foreach (PlannedColumn column in Plan.MotorColumns)
        {
            Channel channel = column.Channel!;
            column.MotorId = column.SaidMotor is { } said
                ? Motors.OfText(said)
                : Motors.InHeader(column.Header)
                    ?? (
                        channel.MotorNumber is { } number ? Motors.OfNumber(number)
                        : channel.MotorName is { } name ? Motors.OfText(name)
                        : null
                    );
        }

        WarnOfDoubts();
    }

    private void WarnOfDoubts()
    {
        foreach (IGrouping<string, PlannedColumn> doubt in Plan.MotorColumns.Where(InDoubt).GroupBy(c => c.Channel!.Doubt!))
        {
            const int MostNamed = 4;
            string[] headers = [.. doubt.Select(c => $"'{FormFinder.Cut(c.Header)}'")];
            string more =
                headers.Length > MostNamed ? string.Create(CultureInfo.InvariantCulture, $" and {headers.Length - MostNamed} more") : "";
            Warnings.Add(
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
            && Plan.MotorColumns.Any(c => c.MotorId == column.MotorId && c.Channel!.Quantity == Quantity.EscTemp)
        );

    private void TakeColumns()
    {
        if (!Plan.HasImu)
        {
            return;
        }

        if (Plan.Acceleration.All(a => a is not null))
        {
            AccelerationMps2 = [.. Plan.Acceleration.Select(a => Body.Dense[a!.Index]!.TakeArray())];
            RatesRadps = Plan.Rates[0] is null ? null : [.. Plan.Rates.Select(r => Body.Dense[r!.Index]!.TakeArray())];
            return;
        }

        int missing = Array.FindIndex(Plan.Acceleration, a => a is null);
        string found = string.Join(", ", Plan.Acceleration.Where(a => a is not null).Select(a => $"'{FormFinder.Cut(a!.Header)}'"));
        throw Fault(
            Form.HeaderLine,
            null,
            $"acceleration along {"xyz"[missing]} is missing (found {found})",
            "Export all three axes, or name the columns in a columns file (vibecheck read --write-columns)."
        );
    }
}
