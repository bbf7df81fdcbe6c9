using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Assembly;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;

namespace VibeCheck.Logs.Flights;

/// <summary>Reads the files of a flight.</summary>
public static class FlightReader
{
    /// <summary>Reads the files of a flight onto one clock, that of the IMU.</summary>
    /// <param name="files">Where the data are.</param>
    /// <param name="options">What the user says beyond the files.</param>
    /// <param name="airframe">Motors that the telemetry belongs to, with pole pairs for electrical speeds; null where it is not known:
    /// then the motors are called as the log calls them.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="InputFaultException">A file cannot be used; the fault says where and what to do.</exception>
    /// <exception cref="ArgumentException">No IMU file is named.</exception>
    public static Flight Read(FlightFiles files, ReadOptions options, Airframe? airframe, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(files);
        ArgumentNullException.ThrowIfNull(options);
        if (files.Imu.Count == 0)
        {
            throw new ArgumentException("names no IMU file", nameof(files));
        }

        (List<ScaledTable> imu, List<ScaledTable> esc) = ReadBoth(files, options, airframe, cancellation);
        if (imu.FirstOrDefault(f => f.Inertial is null) is { } none)
        {
            throw NoAcceleration(none);
        }

        return new FlightAssembly(options, airframe).Assemble(imu, esc);
    }

    private static InputFaultException NoAcceleration(ScaledTable file)
    {
        bool telemetry = file.Plan.MotorColumns.Any() || file.UnknownMotors.Count > 0;
        return file.Fault(
            file.Form.HeaderLine,
            null,
            telemetry
                ? "there is no acceleration in this file; it looks like ESC telemetry"
                : $"no column is named as acceleration (the header starts '{CellText.Cut(string.Join(", ", file.Form.Headers.Take(8)))}')",
            telemetry
                ? "Give the IMU's file as --imu and this one as --esc."
                : "Name the columns acc_x_mps2, acc_y_mps2, acc_z_mps2 (or _g), or name them in a columns file (vibecheck read "
                    + "--write-columns)."
        );
    }

    /// <summary>IMU and ESC files are read at the same time, on a core each.</summary>
    private static (List<ScaledTable>, List<ScaledTable>) ReadBoth(
        FlightFiles files,
        ReadOptions options,
        Airframe? airframe,
        CancellationToken cancellation
    )
    {
        List<ScaledTable> ReadAll(IReadOnlyList<string> paths) =>
            [.. paths.Select(p => LogFileReader.Read(p, options, airframe, cancellation))];
        if (files.Esc.Count == 0)
        {
            return (ReadAll(files.Imu), []);
        }

        Task<List<ScaledTable>> esc = Task.Run(() => ReadAll(files.Esc), cancellation);
        List<ScaledTable> imu;
        try
        {
            imu = ReadAll(files.Imu);
        }
        catch
        {
            // Report the fault of the IMU file; the other reader ends without help.
            _ = esc.ContinueWith(t => t.Exception, TaskScheduler.Default);
            throw;
        }

        return (imu, esc.GetAwaiter().GetResult());
    }
}
