using System.Diagnostics;
using System.Globalization;
using BenchmarkDotNet.Attributes;
using CsvHelper;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.FlightMaker;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Tables;

namespace VibeCheck.Benchmarks;

/// <summary>Reading a numeric IMU log of 7 columns: this tool compared with plain CsvHelper and pandas.</summary>
/// <remarks>Runs in this process: the program has another name than its project, so BenchmarkDotNet does not find the project to
/// build.</remarks>
[InProcess, WarmupCount(2), IterationCount(8), MemoryDiagnoser]
public class ReadingBench
{
    private static readonly Airframe Quad = DemoAirframes.Ring(4, "Bench", 3, 0.3, 2);
    private string _path = "";

    [GlobalSetup]
    public void Setup()
    {
        _path = Path.Combine(Path.GetTempPath(), "vibecheck-bench-imu.csv");
        MakeLog(_path, 1_000_000);
        if (Tool() != PlainCsvHelper())
        {
            throw new InvalidOperationException("the readers do not agree on the rows");
        }
    }

    [GlobalCleanup]
    public void Cleanup() => File.Delete(_path);

    [Benchmark(Baseline = true)]
    public int PlainCsvHelper() => CsvHelperRows(_path);

    [Benchmark]
    public int Tool() => FlightReader.Read(new([_path], []), ReadOptions.Default, Quad).Imu.Count;

    [Benchmark]
    public int Pandas() => PandasRows(_path);

    /// <summary>Prints one line per reader: best of some runs, MB/s, and the speed of the tool with two files at once and with many
    /// rows.</summary>
    internal static int Quick(string[] rest, TextWriter output)
    {
        int rows = rest is [string n] ? int.Parse(n, CultureInfo.InvariantCulture) : 1_000_000;
        string path = Path.Combine(Path.GetTempPath(), "vibecheck-quick-imu.csv");
        MakeLog(path, rows);
        double megabytes = new FileInfo(path).Length / 1e6;
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{rows} rows of 7 numbers, {megabytes:F0} MB"));
        if (rows > 5_000_000)
        {
            Large(path, megabytes, output);
        }
        else
        {
            Best("plain CsvHelper", () => CsvHelperRows(path), megabytes, output);
            if (HasPandas())
            {
                Best("pandas", () => PandasRows(path), megabytes, output);
            }
            else
            {
                output.WriteLine("pandas                       is not installed (python3-pandas)");
            }

            Best(
                "this tool, columns only",
                () => LogFileReader.Read(path, ReadOptions.Default, null, CancellationToken.None).Rows.Kept,
                megabytes,
                output
            );
            Best(
                "this tool, to a flight",
                () => FlightReader.Read(new([path], []), ReadOptions.Default, Quad).Imu.Count,
                megabytes,
                output
            );
            Best("this tool, two files at once", () => TwoAtOnce(path), 2 * megabytes, output);
        }

        File.Delete(path);
        return 0;
    }

    private static void Large(string path, double megabytes, TextWriter output)
    {
        var watch = Stopwatch.StartNew();
        Flight flight = FlightReader.Read(new([path], []), ReadOptions.Default, Quad);
        double kept = flight.Imu.Count * 7.0 * sizeof(double) / 1e6;
        double peak = Process.GetCurrentProcess().PeakWorkingSet64 / 1e6;
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{flight.Imu.Count} samples in {watch.Elapsed.TotalSeconds:F1} s, {megabytes / watch.Elapsed.TotalSeconds:F0} MB/s; "
                    + $"peak {peak:F0} MB, {peak / kept:F2} times the columns kept ({kept:F0} MB)"
            )
        );
    }

    private static int TwoAtOnce(string path)
    {
        Task<ScaledTable> other = Task.Run(() => LogFileReader.Read(path, ReadOptions.Default, null, CancellationToken.None));
        return LogFileReader.Read(path, ReadOptions.Default, null, CancellationToken.None).Rows.Kept
            + other.GetAwaiter().GetResult().Rows.Kept;
    }

    private static void Best(string name, Func<int> read, double megabytes, TextWriter output)
    {
        double best = double.PositiveInfinity,
            bestCpu = double.PositiveInfinity;
        int rows = 0;
        var process = Process.GetCurrentProcess();
        for (int run = 0; run < 5; run++)
        {
            var watch = Stopwatch.StartNew();
            process.Refresh();
            double before = process.TotalProcessorTime.TotalSeconds;
            rows = read();
            process.Refresh();
            best = Math.Min(best, watch.Elapsed.TotalSeconds);
            bestCpu = Math.Min(bestCpu, process.TotalProcessorTime.TotalSeconds - before);
        }

        // Processor time is the fair measure on a machine with other load; a child process has its own.
        string cpu =
            bestCpu > 0.03
                ? string.Create(CultureInfo.InvariantCulture, $"{bestCpu, 6:F2} s of processor, {megabytes / bestCpu, 5:F0} MB/s a core")
                : "";
        output.WriteLine(
            string.Create(CultureInfo.InvariantCulture, $"{name, -28} {best, 6:F2} s, {megabytes / best, 5:F0} MB/s; {cpu}  ({rows} rows)")
        );
    }

    private static int CsvHelperRows(string path)
    {
        using CsvReader reader = CsvReader.FromFile(path);
        var columns = new List<double>[7];
        for (int i = 0; i < 7; i++)
        {
            columns[i] = [];
        }

        while (reader.Read())
        {
            for (int i = 0; i < 7; i++)
            {
                columns[i].Add(reader.Parse<double>(i));
            }
        }

        return columns[0].Count;
    }

    private static bool HasPandas() => Python("import importlib.util; print(int(importlib.util.find_spec('pandas') is not None))") == 1;

    private static int PandasRows(string path) => Python("import sys, pandas; print(len(pandas.read_csv(sys.argv[1])))", path);

    /// <summary>The number that a script prints.</summary>
    private static int Python(string script, params string[] arguments)
    {
        var start = new ProcessStartInfo("/usr/bin/python3", ["-c", script, .. arguments]) { RedirectStandardOutput = true };
        using Process? python = Process.Start(start);
        return int.Parse(python!.StandardOutput.ReadToEnd(), CultureInfo.InvariantCulture);
    }

    /// <summary>A hover at 8 kHz: jittered microseconds, acceleration and rates with three decimals.</summary>
    private static void MakeLog(string path, int rows)
    {
        var random = new Random(4);
        using var file = new StreamWriter(path);
        file.Write("time_us,acc_x_mps2,acc_y_mps2,acc_z_mps2,rate_x_radps,rate_y_radps,rate_z_radps\n");
        for (int i = 0; i < rows; i++)
        {
            double wave = Math.Sin(i * 0.05);
            file.Write(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{125L * i + random.Next(3)},{2 * wave + random.NextDouble():F3},{wave - random.NextDouble():F3},"
                        + $"{-9.81 + 3 * random.NextDouble():F3},{0.1 * wave:F4},{random.NextDouble() * 0.1:F4},{-0.05 * wave:F4}\n"
                )
            );
        }
    }
}
