using System.Diagnostics;
using System.Globalization;
using VibeCheck.FlightMaker;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Campaigns;

/// <summary>Mutates sample logs byte by byte and line by line: every case must be read or refused with place and remedy.</summary>
internal static class ReadingFuzzCampaign
{
    internal static int Run(int trials, TextWriter output, int seed = 20261125)
    {
        string folder = Directory.CreateTempSubdirectory("vibecheck-fuzz-").FullName;
        try
        {
            var mutations = new LogMutations([.. LogMutations.Seeds(folder), .. LogMutations.SampleSeeds(SampleLogs())], seed);
            string path = Path.Combine(folder, "case.csv");
            int read = 0,
                refused = 0;
            double slowest = 0;
            var watch = Stopwatch.StartNew();
            for (int trial = 0; trial < trials; trial++)
            {
                File.WriteAllBytes(path, mutations.Next());
                double before = watch.Elapsed.TotalSeconds;
                try
                {
                    LogInspection.Read([path], ReadOptions.Default);
                    read++;
                }
                catch (InputFaultException)
                {
                    refused++;
                }
#pragma warning disable CA1031 // The campaign searches for any other fault: keep the case and go on.
                catch (Exception e)
#pragma warning restore CA1031
                {
                    string kept = Path.Combine(
                        Path.GetTempPath(),
                        string.Create(CultureInfo.InvariantCulture, $"vibecheck-fuzz-{trial}.csv")
                    );
                    File.Copy(path, kept, overwrite: true);
                    output.WriteLine($"case {trial}: {e.GetType().Name}: {e.Message} (kept as {kept})\n{e.StackTrace}");
                    return 1;
                }

                slowest = Math.Max(slowest, watch.Elapsed.TotalSeconds - before);
            }

            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{trials} cases: {read} read, {refused} refused, none failed otherwise; slowest {slowest:F2} s, "
                        + $"{watch.Elapsed.TotalSeconds:F0} s in all"
                )
            );
            return 0;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    /// <summary>The sample logs of the repository: looked for from the working directory and from the program upwards.</summary>
    private static string SampleLogs()
    {
        foreach (string start in (string[])[Environment.CurrentDirectory, AppContext.BaseDirectory])
        {
            for (DirectoryInfo? at = new(start); at is not null; at = at.Parent)
            {
                string folder = Path.Combine(at.FullName, "sample-logs");
                if (Directory.Exists(folder))
                {
                    return folder;
                }
            }
        }

        throw new DirectoryNotFoundException("sample-logs is not found from here upwards");
    }
}
