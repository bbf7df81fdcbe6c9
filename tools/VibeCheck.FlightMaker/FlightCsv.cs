using System.Globalization;
using System.IO.Compression;
using System.Text;
using VibeCheck.Core.Tracks;

namespace VibeCheck.FlightMaker;

/// <summary>Writes a simulated flight as the CSV files of a recorder.</summary>
public static class FlightCsv
{
    /// <summary>Writes the IMU file: time in µs with jitter, acceleration in m/s², rates in rad/s.</summary>
    public static void WriteImu(SimulatedFlight simulated, string path, double jitterS = 0)
    {
        ArgumentNullException.ThrowIfNull(simulated);
        ImuTrack imu = simulated.Flight.Imu;
        var random = new Random(simulated.Recipe.Seed ^ 0x717);
        Write(
            path,
            text =>
            {
                text.Append("time_us,acc_x_mps2,acc_y_mps2,acc_z_mps2,rate_x_radps,rate_y_radps,rate_z_radps\n");
                foreach (ContiguousSegment block in imu.Blocks)
                {
                    for (int i = block.FirstSample; i < block.FirstSample + block.SampleCount; i++)
                    {
                        double t = block.TimeOf(i) + jitterS * SpeedTrace.Gauss(random);
                        text.Append(
                            CultureInfo.InvariantCulture,
                            $"{t * 1e6:F0},{imu.AccXMps2[i]:0.###},{imu.AccYMps2[i]:0.###},{imu.AccZMps2[i]:0.###},"
                        );
                        text.Append(
                            CultureInfo.InvariantCulture,
                            $"{imu.RateXRadps![i]:0.###},{imu.RateYRadps![i]:0.###},{imu.RateZRadps![i]:0.###}\n"
                        );
                    }
                }
            }
        );
    }

    /// <summary>Writes the ESC file: one row per report time, all motors side by side.</summary>
    public static void WriteEsc(SimulatedFlight simulated, string path)
    {
        ArgumentNullException.ThrowIfNull(simulated);
        IReadOnlyList<MotorTrack> motors = simulated.Flight.Motors;
        Write(
            path,
            text =>
            {
                text.Append("time_s");
                foreach (MotorTrack m in motors)
                {
                    text.Append(
                        CultureInfo.InvariantCulture,
                        $",{m.MotorId}_rpm,{m.MotorId}_command_pct,{m.MotorId}_current_a,{m.MotorId}_motor_temp_c,{m.MotorId}_esc_temp_c"
                    );
                }

                text.Append('\n');
                double[] stamps = motors[0].Rpm!.TimeS;
                for (int i = 0; i < stamps.Length; i++)
                {
                    text.Append(CultureInfo.InvariantCulture, $"{stamps[i]:F3}");
                    foreach (MotorTrack m in motors)
                    {
                        text.Append(
                            CultureInfo.InvariantCulture,
                            $",{m.Rpm!.Values[i]:0.#},{100 * m.Command!.Values[i]:0.0},{m.CurrentA!.Values[i]:0.00},"
                        );
                        text.Append(CultureInfo.InvariantCulture, $"{m.MotorTempC!.Values[i]:0.##},{m.EscTempC!.Values[i]:0.##}");
                    }

                    text.Append('\n');
                }
            }
        );
    }

    /// <summary>Writes one wide file: IMU rows, with ESC cells filled only where a report arrived; semicolons, milliseconds, g.</summary>
    public static void WriteWide(SimulatedFlight simulated, string path) =>
        WriteWide(
            simulated,
            path,
            id => $";{id} speed [rpm];{id} motor [°C];{id} ESC [°C]",
            (m, i) =>
                string.Create(
                    CultureInfo.InvariantCulture,
                    $";{m.Rpm!.Values[i]:0};{m.MotorTempC!.Values[i]:0.##};{m.EscTempC!.Values[i]:0.##}"
                ),
            ";;;"
        );

    /// <summary>The same for a recorder that logs no ESC telemetry: IMU rows with the motor commands, in per cent.</summary>
    public static void WriteCommands(SimulatedFlight simulated, string path) =>
        WriteWide(
            simulated,
            path,
            id => $";{id} command [%]",
            (m, i) => string.Create(CultureInfo.InvariantCulture, $";{100 * m.Command!.Values[i]:0.0}"),
            ";"
        );

    private static void WriteWide(
        SimulatedFlight simulated,
        string path,
        Func<string, string> header,
        Func<MotorTrack, int, string> report,
        string none
    )
    {
        ArgumentNullException.ThrowIfNull(simulated);
        ImuTrack imu = simulated.Flight.Imu;
        IReadOnlyList<MotorTrack> motors = simulated.Flight.Motors;
        double[] stamps = motors[0].Rpm!.TimeS;
        int next = 0;
        Write(
            path,
            text =>
            {
                text.Append("t [ms];acc x [g];acc y [g];acc z [g]");
                text.AppendJoin("", motors.Select(m => header(m.MotorId)));
                text.Append('\n');
                foreach (ContiguousSegment block in imu.Blocks)
                {
                    for (int i = block.FirstSample; i < block.FirstSample + block.SampleCount; i++)
                    {
                        double t = block.TimeOf(i);
                        text.Append(
                            CultureInfo.InvariantCulture,
                            $"{t * 1e3:0.#};{G(imu.AccXMps2[i]):0.####};{G(imu.AccYMps2[i]):0.####};{G(imu.AccZMps2[i]):0.####}"
                        );
                        bool reports = next < stamps.Length && stamps[next] <= t;
                        foreach (MotorTrack m in motors)
                        {
                            text.Append(reports ? report(m, next) : none);
                        }

                        next += reports ? 1 : 0;
                        text.Append('\n');
                    }
                }
            }
        );
    }

    private static double G(double mps2) => mps2 / 9.80665;

    private static void Write(string path, Action<StringBuilder> body)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
        var text = new StringBuilder();
        body(text);
        using Stream file = File.Create(path);
        using Stream target = path.EndsWith(".gz", StringComparison.Ordinal) ? new GZipStream(file, CompressionLevel.SmallestSize) : file;
        target.Write(Encoding.UTF8.GetBytes(text.ToString()));
    }
}
