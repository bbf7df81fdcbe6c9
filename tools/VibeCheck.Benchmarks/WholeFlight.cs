using System.Buffers.Text;
using System.Globalization;
using System.Text;

namespace VibeCheck.Benchmarks;

/// <summary>Runs <c>vibecheck flight</c> on a very long log as a new process: wall time, processor time, peak memory.</summary>
internal static class WholeFlight
{
    private const int Rotors = 4;
    private const double HoverHz = 70,
        TelemetryHz = 20;

    internal static int Run(string vibecheck, long rows, double rateHz)
    {
        DirectoryInfo folder = Directory.CreateTempSubdirectory("vibecheck-bench-");
        try
        {
            string imu = Path.Combine(folder.FullName, "imu.csv"),
                esc = Path.Combine(folder.FullName, "esc.csv"),
                airframe = Path.Combine(folder.FullName, "airframe.toml");
            WriteImu(imu, rows, rateHz);
            WriteEsc(esc, rows / rateHz);
            WriteAirframe(airframe);
            Console.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"flight of {rows / 1e6:F1} million rows at {rateHz} Hz, {new FileInfo(imu).Length / 1e6:F0} MB, four rotors, "
                        + $"{Environment.ProcessorCount} cores"
                )
            );
            (double wallS, double cpuS, double peakMb) = WholeCompare.Once(
                vibecheck,
                [
                    "flight",
                    "--imu",
                    imu,
                    "--esc",
                    esc,
                    "--airframe",
                    airframe,
                    "--json",
                    Path.Combine(folder.FullName, "out.json"),
                    "--report",
                    Path.Combine(folder.FullName, "out.html"),
                ]
            );
            Console.WriteLine(
                string.Create(CultureInfo.InvariantCulture, $"{wallS:F1} s wall, {cpuS:F1} s processor, peak {peakMb:F0} MB")
            );
            return 0;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    /// <summary>Rotor frequency, Hz: it varies slowly by some tenths of a percent, differently for each rotor.</summary>
    private static double Hz(int rotor, double t) =>
        t < 6 ? 0 : HoverHz * (1 + 0.02 * (rotor - 1.5) + 0.004 * Math.Sin(0.9 * t + rotor) + 0.004 * Math.Sin((0.31 + 0.05 * rotor) * t));

    private static void WriteImu(string path, long rows, double rateHz)
    {
        var random = new Random(9);
        using FileStream file = File.Create(path);
        file.Write("time_us,acc_x_mps2,acc_y_mps2,acc_z_mps2,rate_x_radps,rate_y_radps,rate_z_radps\n"u8);
        byte[] line = new byte[256];
        double[] turns = new double[Rotors];
        for (long i = 0; i < rows; i++)
        {
            double t = i / rateHz,
                x = 0.3 * (random.NextDouble() - 0.5),
                y = 0.3 * (random.NextDouble() - 0.5),
                z = -9.80665 + 0.3 * (random.NextDouble() - 0.5);
            for (int m = 0; m < Rotors; m++)
            {
                double hz = Hz(m, t);
                turns[m] += hz / rateHz;
                if (hz > 0)
                {
                    (double sin, double cos) = Math.SinCos(Math.Tau * (turns[m] - Math.Floor(turns[m])));
                    x += 0.6 * cos;
                    y += 0.6 * sin;
                    z += 0.8 * sin * cos;
                }
            }

            Utf8Formatter.TryFormat((long)Math.Round(t * 1e6) + random.Next(3), line, out int at);
            at = Append(line, at, x);
            at = Append(line, at, y);
            at = Append(line, at, z);
            at = Append(line, at, 0.02 * x);
            at = Append(line, at, 0.02 * y);
            at = Append(line, at, 0.001 * random.NextDouble());
            line[at++] = (byte)'\n';
            file.Write(line, 0, at);
        }
    }

    private static int Append(byte[] line, int at, double value)
    {
        line[at++] = (byte)',';
        Utf8Formatter.TryFormat(Math.Round(value, 4), line.AsSpan(at), out int written, new('F', 4));
        return at + written;
    }

    private static void WriteEsc(string path, double seconds)
    {
        using var file = new StreamWriter(path);
        file.Write("time_s");
        for (int m = 1; m <= Rotors; m++)
        {
            file.Write(string.Create(CultureInfo.InvariantCulture, $",M{m}_rpm,M{m}_motor_temp_c,M{m}_esc_temp_c"));
        }

        file.Write('\n');
        for (long i = 0; i / TelemetryHz < seconds; i++)
        {
            double t = i / TelemetryHz;
            file.Write(t.ToString("F3", CultureInfo.InvariantCulture));
            for (int m = 0; m < Rotors; m++)
            {
                double warm = 1 - Math.Exp(-Math.Max(0, t - 6) / 70);
                file.Write(string.Create(CultureInfo.InvariantCulture, $",{60 * Hz(m, t):F0},{20 + 25 * warm:F0},{20 + 18 * warm:F0}"));
            }

            file.Write('\n');
        }
    }

    private static void WriteAirframe(string path)
    {
        var text = new StringBuilder("name = \"Bench\"\nmass_kg = 3\n");
        for (int m = 0; m < Rotors; m++)
        {
            text.Append(
                CultureInfo.InvariantCulture,
                $"[[motor]]\nid = \"M{m + 1}\"\nazimuth_deg = {45 + 90 * m}\narm_m = 0.3\nspin = "
                    + $"\"{(m % 2 == 0 ? "cw" : "ccw")}\"\nblades = 2\npole_pairs = 14\n"
            );
        }

        File.WriteAllText(path, text.ToString());
    }
}
