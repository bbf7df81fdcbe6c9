using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Checks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Units;

namespace VibeCheck.Logs.Assembly;

/// <summary>Puts the files of a flight onto one clock.</summary>
internal sealed class FlightAssembly(ReadOptions options, Airframe? airframe)
{
    // A logger that begins a new file loses a moment; after a minute it is another flight.
    private const double LongestPauseS = 60;

    /// <param name="imu">Files with acceleration, parts of one record; their inertial columns are taken.</param>
    /// <param name="esc">Files of the other recorder; none where one file holds both.</param>
    /// <exception cref="InputFaultException">They are not of one flight.</exception>
    internal Flight Assemble(IReadOnlyList<ScaledTable> imu, IReadOnlyList<ScaledTable> esc)
    {
        var notes = new List<Warning>();
        double[] imuShifts = Shifts(imu, StartOf(imu[0]), options.JoinParts, notes);
        ImuAssembly built = ImuAssembly.Of(imu, imuShifts, options);
        double[] escShifts =
            esc.Count == 0 ? [] : Shifts(esc, StartOf(HaveSharedOrigin(imu, esc) ? imu[0] : esc[0]), options.JoinParts, notes);
        ClockBounds.CheckRate(imu[0].Rows, imu[0].Plan, built.Track.RateHz);
        (RecorderClocks clocks, IReadOnlyList<ScaledTable> escFiles) = RecorderClocks.Find(
            built.Track,
            imu[0],
            esc,
            escShifts,
            options,
            airframe
        );
        FlightTables tables = new(built.Files, imuShifts, [.. escFiles.Select((f, i) => clocks.Corrected(f, escShifts[i]))], escShifts);
        TelemetryAssembly telemetry = Gather(tables);
        IReadOnlyList<MotorTrack> motors = telemetry.Tracks();
        bool linedUp = esc.Count > 0 && options.ClockOffsetS is null;
        if (!linedUp && WithOtherSpeeds(tables, built.Track, motors) is { } other)
        {
            tables = other;
            telemetry = Gather(tables);
            motors = telemetry.Tracks();
        }

        notes.AddRange(telemetry.Warnings);
        notes.AddRange(TelemetryHealth.Of(motors, built.Track.RateHz));
        return new()
        {
            Imu = built.Track,
            Motors = motors,
            BatteryV = telemetry.Take(null, Quantity.BatteryVoltage),
            HeightM = telemetry.Take(null, Quantity.Height),
            AmbientC = options.AmbientC ?? Ambient(telemetry),
            Quality = linedUp ? [.. built.Quality, .. PartClocks.Of(built.Track, motors, airframe)] : built.Quality,
            Input = new()
            {
                Imu = Merge([.. tables.Imu.Select((f, i) => ReadingTable.Of(f, i == 0 ? built : null, i == 0 ? notes : []))]),
                Esc = tables.Esc.Count == 0 ? null : Merge([.. tables.Esc.Select(f => ReadingTable.Of(f, null, []))]),
                ClockOffsetS = clocks.OffsetS,
                ClockOffsetU95S = clocks.U95S,
                ClockDriftPpm = clocks.DriftPpm,
                ClockDriftU95Ppm = clocks.DriftU95Ppm,
                ClockWhy = clocks.Why,
                StartedUtc = imu[0].StartedUtc,
                ContentHash = Hash(imu.Concat(esc)),
            },
        };
    }

    /// <summary>The files of a flight, and what to add to the times of each to meet the flight's clock, s.</summary>
    private sealed record FlightTables(
        IReadOnlyList<ScaledTable> Imu,
        double[] ImuShiftsS,
        IReadOnlyList<ScaledTable> Esc,
        double[] EscShiftsS
    );

    private TelemetryAssembly Gather(FlightTables tables)
    {
        var telemetry = new TelemetryAssembly(airframe);
        for (int i = 0; i < tables.Esc.Count; i++)
        {
            telemetry.Add(tables.Esc[i], tables.EscShiftsS[i], onlyMissing: false);
        }

        for (int i = 0; i < tables.Imu.Count; i++)
        {
            telemetry.Add(tables.Imu[i], tables.ImuShiftsS[i], onlyMissing: tables.Esc.Count > 0);
        }

        return telemetry;
    }

    /// <summary>Checks the unit of the speeds against the vibration, where finding the clocks has
    /// not done so; null when nothing changes.</summary>
    private FlightTables? WithOtherSpeeds(FlightTables tables, ImuTrack track, IReadOnlyList<MotorTrack> motors)
    {
        var units = new SpeedUnits(track, airframe, new(0, RecorderClocks.NearS));
        IReadOnlyList<ScaledTable> files = [.. tables.Esc, .. tables.Imu];
        return
            motors.Any(m => m.Rpm is not null)
            && !units.Fit(motors)
            && (units.Settled(files, motors) ?? SpeedUnits.WithoutProvisional(files)) is { } other
            ? tables with
            {
                Esc = [.. other.Take(tables.Esc.Count)],
                Imu = [.. other.Skip(tables.Esc.Count)],
            }
            : null;
    }

    /// <summary>Whether both files count from the same moment: wall clocks, or neither.</summary>
    private static bool HaveSharedOrigin(IReadOnlyList<ScaledTable> imu, IReadOnlyList<ScaledTable> esc) =>
        imu[0].StartedUtc.HasValue && esc[0].StartedUtc.HasValue;

    /// <summary>Where a file's clock is set to zero: at its first row where it tells wall
    /// clock time, else at the logger's own zero.</summary>
    private static double StartOf(ScaledTable file) => file.StartedUtc.HasValue || file.OriginS is > 1e6 or < -1e6 ? file.OriginS : 0;

    /// <summary>What to add to each file's row times. Parts go on where the part before ended; with <paramref name="join"/> a part that
    /// restarts its clock is put a second behind it.</summary>
    private static double[] Shifts(IReadOnlyList<ScaledTable> files, double zeroS, bool join, List<Warning> notes)
    {
        double[] shifts = new double[files.Count];
        double begin = 0,
            end = double.NegativeInfinity;
        for (int i = 0; i < files.Count; i++)
        {
            shifts[i] = files[i].OriginS - zeroS;
            double start = files[i].FirstTimeS + shifts[i],
                stop = files[i].LastTimeS + shifts[i];
            if (i > 0 && stop <= begin && (files[i].StartedUtc.HasValue || begin - stop < 1))
            {
                throw files[i]
                    .Fault(
                        null,
                        null,
                        $"by its clock this part ends before the one named before it ({files[i - 1].Path}) begins",
                        "Name the parts of a flight in order of time."
                    );
            }

            if (i > 0 && !join)
            {
                RequireOneFlight(files[i - 1], files[i], start - end);
            }

            if (start < end)
            {
                shifts[i] = end + Clocks.StampCleaner.PauseAtResetS - files[i].FirstTimeS;
                notes.Add(
                    new(
                        "parts-joined",
                        $"{files[i].Path} restarts its clock; it was placed 1 s after the part before, and nothing is calculated "
                            + $"across that gap."
                    )
                );
            }

            begin = files[i].FirstTimeS + shifts[i];
            end = files[i].LastTimeS + shifts[i];
        }

        return shifts;
    }

    private static void RequireOneFlight(ScaledTable part, ScaledTable next, double pauseS)
    {
        string? why =
            pauseS < 0 ? $"its clock does not continue that of {part.Path}"
            : pauseS > LongestPauseS ? string.Create(CultureInfo.InvariantCulture, $"it begins {pauseS:0} s after the end of {part.Path}")
            : null;
        if (why is not null)
        {
            throw next.Fault(
                null,
                null,
                $"{why}, so the two are different flights and not parts of one",
                "Give one flight at a time, or compare the two with vibecheck compare. If they are parts of one flight all "
                    + "the same, add --join-parts (in a job file: join_parts = true)."
            );
        }
    }

    private static double? Ambient(TelemetryAssembly telemetry) =>
        telemetry.Take(null, Quantity.Ambient) is { Count: > 0 } series ? ColumnMedian.Of(series.Values) : null;

    /// <summary>Several parts reported as one file: columns of the first one, sums of the rest.</summary>
    private static FileRecord Merge(FileRecord[] parts)
    {
        if (parts.Length == 1)
        {
            return parts[0];
        }

        return parts[0] with
        {
            Path = string.Join(" + ", parts.Select(p => p.Path)),
            Rows = parts.Sum(p => p.Rows),
            RowsUnusable = parts.Sum(p => p.RowsUnusable),
            ClippedSamples = parts.Sum(p => p.ClippedSamples),
            Warnings = [.. parts.SelectMany(p => p.Warnings).Distinct()],
            Form = [.. parts[0].Form, string.Create(CultureInfo.InvariantCulture, $"{parts.Length} files in order of time")],
        };
    }

    private static string Hash(IEnumerable<ScaledTable> files)
    {
        string all = string.Join(' ', files.Select(f => f.Rows.ContentHash));
        return Convert.ToHexStringLower(SHA256.HashData(Encoding.ASCII.GetBytes(all)));
    }
}
