using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Checks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;

namespace VibeCheck.Logs.Assembly;

/// <summary>The step from the ESC recorder's clock to that of the IMU.</summary>
internal sealed record RecorderClocks
{
    // Clocks that count from one moment differ by telemetry lag and rounding only.
    internal const double NearS = 2;

    /// <summary>Added to ESC time, s.</summary>
    internal double OffsetS { get; private init; }

    internal double? U95S { get; private init; }

    internal double? DriftPpm { get; private init; }

    internal double? DriftU95Ppm { get; private init; }

    internal Reason? Why { get; private init; }

    private double AtS { get; init; }

    /// <summary>Finds offset and drift; the user's offset comes first. Where the vibration shows that the speeds are in another unit,
    /// the ESC files come back in that.</summary>
    /// <exception cref="InputFaultException">The files cannot be of one flight.</exception>
    internal static (RecorderClocks Clocks, IReadOnlyList<ScaledTable> Esc) Find(
        ImuTrack track,
        ScaledTable imu,
        IReadOnlyList<ScaledTable> esc,
        double[] escShifts,
        ReadOptions options,
        Airframe? airframe
    )
    {
        if (esc.Count == 0)
        {
            return (new(), esc);
        }

        if (options.ClockOffsetS is double given)
        {
            RefuseContradicted(given, track, esc, escShifts, airframe);
            return (new() { OffsetS = given, Why = new OffsetGiven() }, esc);
        }

        double from = esc[0].FirstTimeS + escShifts[0],
            to = esc[^1].LastTimeS + escShifts[^1];
        double overlap = Math.Min(to, track.EndS) - Math.Max(from, track.StartS),
            shorter = Math.Min(to - from, track.EndS - track.StartS);
        bool wallClocks = imu.StartedUtc.HasValue && esc[0].StartedUtc.HasValue;
        if (wallClocks && overlap <= 0)
        {
            throw esc[0]
                .Fault(
                    null,
                    null,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"by their clocks this file and {imu.Path} do not overlap: they start at {Utc(esc[0])} and {Utc(imu)}"
                    ),
                    "Give the two files of one flight; if a clock was set wrong, give --clock-offset."
                );
        }

        IReadOnlyList<MotorTrack> tracks = Tracks(esc, escShifts, airframe);
        List<RotorSpeed> rotors = Rotors(tracks, airframe);
        bool near = overlap >= 0.5 * shorter;
        AlignmentSearch narrow = new(0, NearS);
        AlignmentSearch wide = new(near ? 0 : track.StartS - from, 0.7 * Math.Max(to - from, track.EndS - track.StartS) + (near ? 0 : 30));
        ClockAlignment found = near ? RecorderAlignment.Find(track, rotors, narrow) : ClockAlignment.Unknown(new NoSpeedToAlignBy());
        if (found.OffsetS is null && rotors.Count > 0)
        {
            // Clocks with the time of day are set by hand too.
            found = RecorderAlignment.Find(track, rotors, wide);
        }

        if (found.OffsetS is null && rotors.Count > 0 && PartClocks.OfLongest(track, rotors, wide) is { OffsetS: not null } longest)
        {
            found = longest;
        }

        if (found.OffsetS is null && rotors.Count > 0)
        {
            // Perhaps not the clocks are at fault but the unit: then look again.
            var units = new SpeedUnits(track, airframe, near ? narrow : wide);
            if ((units.Settled(esc, tracks) ?? SpeedUnits.WithoutProvisional(esc)) is { } other)
            {
                return Find(track, imu, other, escShifts, options, airframe);
            }
        }

        return (Decide(found, near, imu, esc[0]), esc);
    }

    /// <summary>An offset that the user gives is checked against the one that the vibration shows, where it shows one.</summary>
    /// <exception cref="InputFaultException">They differ by more than half a second.</exception>
    private static void RefuseContradicted(
        double givenS,
        ImuTrack track,
        IReadOnlyList<ScaledTable> esc,
        double[] escShifts,
        Airframe? airframe
    )
    {
        const double MostApartS = 0.5;
        List<RotorSpeed> rotors = Rotors(Tracks(esc, escShifts, airframe), airframe);
        double reachS = Math.Min(60, track.EndS - track.StartS);
        if (
            rotors.Count > 0
            && reachS > NearS
            && RecorderAlignment.Find(track, rotors, new(givenS, reachS)) is { OffsetS: double found, U95S: double u95S }
            && Math.Abs(found - givenS) > Math.Max(MostApartS, 3 * u95S)
        )
        {
            throw esc[0]
                .Fault(
                    null,
                    null,
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"a clock offset of {givenS:0.###} s was given, but the vibration follows the reported speeds at {found:0.00} s"
                    ),
                    string.Create(CultureInfo.InvariantCulture, $"Leave the offset out, or give {found:0.00}.")
                );
        }
    }

    private static IReadOnlyList<MotorTrack> Tracks(IReadOnlyList<ScaledTable> esc, double[] escShifts, Airframe? airframe)
    {
        var telemetry = new TelemetryAssembly(airframe);
        for (int i = 0; i < esc.Count; i++)
        {
            telemetry.Add(esc[i], escShifts[i], onlyMissing: false);
        }

        return telemetry.Tracks();
    }

    private static List<RotorSpeed> Rotors(IReadOnlyList<MotorTrack> tracks, Airframe? airframe) =>
        [.. tracks.Where(t => t.Rpm is not null).Select(t => new RotorSpeed(t.MotorId, t.Rpm!, airframe?.Find(t.MotorId)?.Blades ?? 2))];

    /// <summary>An ESC file with its row times, s from its origin, on the IMU's clock.</summary>
    internal ScaledTable Corrected(ScaledTable esc, double shiftS)
    {
        double rate = (DriftPpm ?? 0) * 1e-6;
        return esc with { TimeS = Array.ConvertAll(esc.TimeS, time => time + (OffsetS + rate * (time + shiftS + OffsetS - AtS))) };
    }

    private static RecorderClocks Decide(ClockAlignment found, bool near, ScaledTable imu, ScaledTable esc)
    {
        if (found.OffsetS is double offset)
        {
            return Of(found, offset);
        }

        if (found.Contradicts)
        {
            throw esc.Fault(
                null,
                null,
                $"this file does not belong to {imu.Path}: {ClockFault.Text(found.Why)}",
                "Give the two files of one flight; if you are sure that they are, give their offset with --clock-offset."
            );
        }

        if (!near)
        {
            throw esc.Fault(
                null,
                null,
                $"its clock and that of {imu.Path} do not start together, and the offset could not be found: {ClockFault.Text(found.Why)}",
                "Give the offset with --clock-offset (seconds to add to this file's time)."
            );
        }

        return found.Likely is { } likely ? Of(likely, likely.OffsetS!.Value) : new() { Why = new ClocksTakenToAgree(found.Why!) };
    }

    private static RecorderClocks Of(ClockAlignment found, double offsetS)
    {
        bool agree = Math.Abs(offsetS) <= found.U95S!.Value;
        bool drifts = found.DriftPpm is double ppm && Math.Abs(ppm) > found.DriftU95Ppm!.Value;
        return new()
        {
            OffsetS = agree ? 0 : offsetS,
            U95S = found.U95S,
            DriftPpm =
                drifts ? found.DriftPpm
                : found.DriftPpm is null ? null
                : 0,
            DriftU95Ppm = found.DriftU95Ppm,
            Why = found.Why,
            AtS = found.AtS,
        };
    }

    private static string Utc(ScaledTable file) => file.StartedUtc!.Value.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture);
}
