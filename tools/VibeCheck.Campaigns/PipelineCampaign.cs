using System.Diagnostics;
using System.Globalization;
using VibeCheck.Cli;
using VibeCheck.FlightMaker.Pipeline;

namespace VibeCheck.Campaigns;

/// <summary>Runs whole commands on damaged jobs: each must end within bounded time and memory, with an answer or with a message that says
/// what to do.</summary>
internal static class PipelineCampaign
{
    internal const string Usage = "pipeline [--trials N] [--from CASE] [--only CASE --keep DIR]";

    internal static int Run(string[] rest, TextWriter output)
    {
        int Option(string name, int usual) =>
            Array.IndexOf(rest, name) is >= 0 and int at ? int.Parse(rest[at + 1], CultureInfo.InvariantCulture) : usual;
        int from = Option("--from", 0),
            only = Option("--only", -1),
            trials = Option("--trials", 2000);
        string? keep = Array.IndexOf(rest, "--keep") is >= 0 and int k ? Directory.CreateDirectory(rest[k + 1]).FullName : null;
        string folder = keep ?? Directory.CreateTempSubdirectory("vibecheck-pipeline-").FullName;
        Environment.SetEnvironmentVariable("VIBECHECK_TRACE", "1");
        var cases = new PipelineCases(folder);
        if (only >= 0 && keep is not null)
        {
            PipelineCase made = cases.Make(only);
            output.WriteLine($"{string.Join("; ", made.What)}\n{string.Join(' ', made.Args.Select(a => $"'{a}'"))}");
            return 0;
        }

        var runs = new PipelineRuns(
            (args, answers, errors) => VibeCheckApp.Run(args, new Terminal(answers, errors, TextReader.Null, isInteractive: false)),
            cases
        );
        runs.Calibrate();
        int faults = 0;
        var watch = Stopwatch.StartNew();
        (int first, int count) = only >= 0 ? (only, 1) : (from, trials);
        for (int number = first; number < first + count; number++)
        {
            // A run that ends the whole process leaves its number here.
            File.WriteAllText(folder + ".case", number.ToString(CultureInfo.InvariantCulture));
            if (runs.Fault(number) is string fault)
            {
                faults++;
                output.WriteLine(fault);
                if (fault.Contains("does not end", StringComparison.Ordinal))
                {
                    output.WriteLine("stopped: that run cannot be ended from here");
                    break;
                }
            }
        }

        string ends = string.Join(", ", runs.Ends.Select(e => string.Create(CultureInfo.InvariantCulture, $"{e.Value} × exit {e.Key}")));
        output.WriteLine(
            string.Create(
                CultureInfo.InvariantCulture,
                $"{runs.Ends.Values.Sum()} cases from {first}: {ends}; {faults} faults; slowest {runs.SlowestS:F2} s (case "
                    + $"{runs.Slowest}), most memory {runs.MostUsed / 1e6:F0} MB (case {runs.Largest}), "
                    + $"{watch.Elapsed.TotalSeconds:F0} s in all"
            )
        );
        File.Delete(folder + ".case");
        if (keep is null)
        {
            Directory.Delete(folder, recursive: true);
        }

        return faults == 0 ? 0 : 1;
    }
}
