using System.Globalization;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Assembly;
using VibeCheck.Logs.Checks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Forms;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Flights;

/// <summary>Reads logs to say how they were understood, without analysis.</summary>
public static class LogInspection
{
    /// <summary>Reads each file by itself.</summary>
    /// <param name="paths">The logs.</param>
    /// <param name="options">What the user says beyond the files.</param>
    /// <exception cref="InputFaultException">A file can't be used.</exception>
    public static IReadOnlyList<FileRecord> Read(IReadOnlyList<string> paths, ReadOptions options) => Read(paths, options, default);

    /// <summary>Reads each file by itself.</summary>
    /// <param name="paths">The logs.</param>
    /// <param name="options">What the user says beyond the files.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="InputFaultException">A file can't be used.</exception>
    public static IReadOnlyList<FileRecord> Read(IReadOnlyList<string> paths, ReadOptions options, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(paths);
        ArgumentNullException.ThrowIfNull(options);
        return [.. paths.Select(p => One(p, options, cancellation))];
    }

    /// <summary>What the headers of a log say, for a columns file, where the log cannot be read without one.</summary>
    /// <param name="path">The log.</param>
    /// <param name="options">What the user says beyond the file.</param>
    /// <exception cref="InputFaultException">The file has no header above rows of numbers.</exception>
    public static FileRecord Headers(string path, ReadOptions options)
    {
        ArgumentNullException.ThrowIfNull(path);
        ArgumentNullException.ThrowIfNull(options);
        using Text.LogSource source = Text.LogSource.Open(path);
        LogForm form = FormFinder.Find(LogHead.Read(source), source, options.Columns?.DecimalMark);
        Columns.ColumnPlan plan = Columns.ColumnPlan.OfHeaders(form, options, path);
        return new()
        {
            Path = path,
            Rows = 0,
            RowsUnusable = 0,
            Columns =
            [
                .. plan.Columns.Select(c => new ColumnRecord(
                    Columns.HeaderWords.Plain(c.Header),
                    c.Channel?.Show(c.SaidMotor ?? c.Channel.MotorName ?? c.Channel.MotorNumber?.ToString(CultureInfo.InvariantCulture)),
                    c.Unit?.Symbol,
                    c.HowKnown,
                    null,
                    null,
                    0
                )),
            ],
            Form = form.Phrases,
        };
    }

    /// <summary>The first values of each column as written in a log, and what columns look like whose header does not say what they
    /// are.</summary>
    /// <param name="path">The log.</param>
    /// <param name="options">What the user says beyond the file.</param>
    /// <exception cref="InputFaultException">The file has no rows of numbers.</exception>
    public static ColumnSamples Samples(string path, ReadOptions options)
    {
        ArgumentNullException.ThrowIfNull(path);
        ArgumentNullException.ThrowIfNull(options);
        using Text.LogSource source = Text.LogSource.Open(path);
        LogForm form = FormFinder.Find(LogHead.Read(source), source, options.Columns?.DecimalMark);
        Columns.ColumnPlan plan = Columns.ColumnPlan.OfHeaders(form, options, path);
        return new(
            form.HasHeader,
            [
                .. plan.Columns.Select(c =>
                    (IReadOnlyList<string>)
                        [
                            .. form
                                .FirstRows.Select(r => c.Index < r.Length ? Columns.HeaderWords.Plain(r[c.Index].Trim()) : "")
                                .Where(v => v.Length > 0)
                                .Distinct()
                                .Take(ColumnSamples.Most),
                        ]
                ),
            ],
            plan.Guesses(form)
        );
    }

    private static FileRecord One(string path, ReadOptions options, CancellationToken cancellation)
    {
        ScaledTable file = LogFileReader.Read(path, options, null, cancellation);
        double shift = file.StartedUtc.HasValue ? 0 : file.OriginOrZero;
        ImuAssembly? imu = file.Inertial is null ? null : ImuAssembly.Of([file], [shift], options);
        file = imu?.Files[0] ?? file;
        TelemetryAssembly telemetry = Telemetry(file, shift);
        (file, bool dropped) = WithSpeedUnit(file, imu, telemetry);
        if (dropped)
        {
            telemetry = Telemetry(file, shift);
        }

        if (imu is null && telemetry.MotorIds.Count == 0)
        {
            throw Nothing(file);
        }

        bool electrical = file.Plan.MotorColumns.Any(c => c.Unit is { IsElectrical: true });
        return ReadingTable.Of(
            file,
            imu,
            [.. telemetry.Warnings, .. TelemetryHealth.Of(telemetry.Tracks(), electrical ? null : imu?.Track.RateHz)]
        );
    }

    private static InputFaultException Nothing(ScaledTable file)
    {
        Columns.PlannedColumn? left = file.Plan.Columns.FirstOrDefault(c => c.Channel is { IsMotor: true } && c.NotUsedWhy is not null);
        return left is null
            ? file.Fault(
                file.Form.HeaderLine,
                null,
                $"neither acceleration nor motor telemetry was found (the header starts "
                    + $"'{CellText.Cut(string.Join(", ", file.Form.Headers.Take(8)))}')",
                "Name the columns as the CSV guide shows, or in a columns file (vibecheck read --write-columns)."
            )
            : file.Fault(
                file.Form.HeaderLine,
                left.Index + 1,
                $"nothing that can be used was found; '{CellText.Cut(left.Header)}' was read as {left.Channel!.Show(left.MotorId)}, "
                    + $"but: {left.NotUsedWhy}",
                "Write motor and unit into the header (M1_rpm, M1_esc_temp_c), or say them in a columns file (vibecheck read "
                    + "--write-columns)."
            );
    }

    /// <summary>Checks the unit of the speeds against the vibration where one file has both. Speeds without a unit are dropped.</summary>
    private static (ScaledTable File, bool Dropped) WithSpeedUnit(ScaledTable file, ImuAssembly? imu, TelemetryAssembly telemetry)
    {
        IReadOnlyList<MotorTrack> motors = telemetry.Tracks();
        if (!motors.Any(m => m.Rpm is not null))
        {
            return (file, false);
        }

        if (imu is not null)
        {
            var units = new SpeedUnits(imu.Track, null, new(0, RecorderClocks.NearS));
            if (units.Fit(motors))
            {
                return (file, false);
            }

            if (units.Settled([file], motors) is [var settled])
            {
                return (settled, false);
            }
        }

        return SpeedUnits.WithoutProvisional([file]) is [var without] ? (without, true) : (file, false);
    }

    private static TelemetryAssembly Telemetry(ScaledTable file, double shiftS)
    {
        var telemetry = new TelemetryAssembly(null);
        telemetry.Add(file, shiftS, onlyMissing: false);
        return telemetry;
    }
}
