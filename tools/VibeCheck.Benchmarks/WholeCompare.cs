using System.Diagnostics;
using System.Globalization;
using VibeCheck.FlightMaker;

namespace VibeCheck.Benchmarks;

/// <summary>Times <c>vibecheck compare</c> as a user meets it: a new process, two long
/// flights of six rotors, report page and JSON.</summary>
internal static class WholeCompare
{
    private const int Runs = 5;

    internal static int Run(string vibecheck, double minutes, double rateHz)
    {
        DirectoryInfo folder = Directory.CreateTempSubdirectory("vibecheck-bench-");
        try
        {
            SampleJob sample = SampleJobs.Reshim;
            SampleJob job = sample with
            {
                Folder = "job",
                Before = sample.Before with { HoverS = minutes * 60 - 14, ImuRateHz = rateHz },
                After = sample.After with { HoverS = minutes * 60 - 14, ImuRateHz = rateHz },
            };
            job.Write(folder.FullName);
            string jobFile = Path.Combine(folder.FullName, "job", "job.toml");
            string[] arguments =
            [
                "compare",
                jobFile,
                "--report",
                Path.Combine(folder.FullName, "report.html"),
                "--json",
                Path.Combine(folder.FullName, "out.json"),
            ];
            Console.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"compare of two flights of {minutes} min at {rateHz} Hz, six rotors, with page and JSON; "
                        + $"{Environment.ProcessorCount} cores"
                )
            );
            Console.WriteLine("run   wall s   processor s   peak MB");
            var walls = new List<double>();
            for (int run = 0; run <= Runs; run++)
            {
                (double wallS, double cpuS, double peakMb) = Once(vibecheck, arguments);
                Console.WriteLine(
                    string.Create(
                        CultureInfo.InvariantCulture,
                        $"{(run == 0 ? "warm" : run), 4} {wallS, 8:F2} {cpuS, 13:F2} {peakMb, 9:F0}"
                    )
                );
                if (run > 0)
                {
                    walls.Add(wallS);
                }
            }

            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"median {walls.Order().ElementAt(Runs / 2):F2} s"));
            return 0;
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    /// <summary>One run of a program: wall time, processor time and peak memory.</summary>
    internal static (double WallS, double CpuS, double PeakMb) Once(string program, string[] arguments)
    {
        var clock = Stopwatch.StartNew();
        using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        Task<string> output = process.StandardOutput.ReadToEndAsync();
        double peakMb = 0,
            cpuS = 0;
        while (!process.WaitForExit(10))
        {
            try
            {
                process.Refresh();
                peakMb = Math.Max(peakMb, process.PeakWorkingSet64 / 1e6);
                cpuS = process.TotalProcessorTime.TotalSeconds;
            }
            catch (InvalidOperationException)
            {
                // The process ended between the two lines; the last values are at most 10 ms old.
                break;
            }
        }

        process.WaitForExit();

        double wallS = clock.Elapsed.TotalSeconds;
        output.GetAwaiter().GetResult();
        return process.ExitCode == 0
            ? (wallS, cpuS, peakMb)
            : throw new InvalidOperationException($"{program} ended with {process.ExitCode}");
    }
}
