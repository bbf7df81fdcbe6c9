using System.Diagnostics;
using System.Globalization;
using System.Text.Json;

namespace VibeCheck.FlightMaker.Pipeline;

/// <summary>Runs the command line with its arguments and output writers; returns its exit code.</summary>
public delegate int CommandLine(string[] args, TextWriter output, TextWriter error);

/// <summary>Runs cases and reports those that the tool failed on: an internal error, no end, too much memory, a changed input, or invalid
/// JSON.</summary>
/// <param name="command">The command line.</param>
/// <param name="cases">The cases.</param>
public sealed class PipelineRuns(CommandLine command, PipelineCases cases)
{
    private const double MostS = 10,
        TimesUsual = 3;

    // On a busy machine a run waits for its turn, so the main limit is on processor time; this one is for runs that wait for ever.
    private const double GivenUpS = 120;
    private const long MostBytes = 300_000_000,
        TimesInput = 3;
    private double _usualS = 1;

    /// <summary>Number of runs by exit code.</summary>
    public SortedDictionary<int, int> Ends { get; } = [];

    /// <summary>Processor time of the longest run, s.</summary>
    public double SlowestS { get; private set; }

    /// <summary>Case of the longest run.</summary>
    public int Slowest { get; private set; }

    /// <summary>Largest increase of the memory in use during a run, bytes.</summary>
    public long MostUsed { get; private set; }

    /// <summary>Case that used the most memory.</summary>
    public int Largest { get; private set; }

    /// <summary>Measures the usual time on undamaged jobs, which must all be answered.</summary>
    /// <exception cref="InvalidOperationException">An undamaged job was not answered.</exception>
    public void Calibrate()
    {
        const int Runs = 12;
        var times = new List<double>();
        for (int i = 0; i < Runs; i++)
        {
            PipelineCase made = cases.Make(i, damaged: false);
            Run run = Execute(made);
            if (run.ExitCode is not (0 or 4))
            {
                throw new InvalidOperationException($"an undamaged job ended with {run.ExitCode}: {run.Error}", run.Thrown);
            }

            times.Add(run.ProcessorS);
        }

        times.Sort();
        _usualS = times[Runs / 2];
    }

    /// <summary>Runs a case; returns null where the tool handled it, otherwise a description of the failure.</summary>
    public string? Fault(int number)
    {
        PipelineCase made = cases.Make(number);
        Dictionary<string, (long Length, DateTime At)> before = made.Inputs.ToDictionary(p => p, State);
        Run run = Execute(made);
        Ends[run.ExitCode] = Ends.GetValueOrDefault(run.ExitCode) + 1;
        (SlowestS, Slowest) = run.ProcessorS > SlowestS ? (run.ProcessorS, number) : (SlowestS, Slowest);
        long most = MostBytes + TimesInput * made.InputBytes;
        if (run.Bytes > most)
        {
            // The memory may include garbage of earlier cases, so the case runs again after a collection.
            GC.Collect();
            run = Execute(cases.Make(number));
        }

        (MostUsed, Largest) = run.Bytes > MostUsed ? (run.Bytes, number) : (MostUsed, Largest);
        string? problem =
            Problem(made, run, most)
            ?? made.Inputs.Where(p => State(p).Length != before[p].Length)
                .Select(p => $"changed its input {Path.GetFileName(p)}")
                .FirstOrDefault();
        return problem is null
            ? null
            : string.Create(
                CultureInfo.InvariantCulture,
                $"case {number}: {problem}\n  damage: {string.Join("; ", made.What)}\n  command: {string.Join(' ', made.Args)}\n  "
                    + $"{run.Error.TrimEnd()}"
            );
    }

    private string? Problem(PipelineCase made, Run run, long most)
    {
        double longest = MostS + TimesUsual * _usualS;
        return run switch
        {
            { Ended: false } => string.Create(CultureInfo.InvariantCulture, $"does not end within {longest:0} s of processor time"),
            { Thrown: Exception e } => $"threw {e}",
            { ExitCode: not (0 or 2 or 3 or 4) } => $"exit code {run.ExitCode}",
            { ExitCode: 2 or 3, Error.Length: 0 } => $"exit code {run.ExitCode} without a word",
            _ when run.Bytes > most => string.Create(CultureInfo.InvariantCulture, $"took {run.Bytes / 1e6:0} MB"),
            { ExitCode: 0 or 4 } when IsJson(made) && !Parses(run.Output) => "the JSON does not parse",
            _ => null,
        };
    }

    private static bool IsJson(PipelineCase made)
    {
        int at = made.Args.ToList().IndexOf("--json");
        return at >= 0 && made.Args.Count(a => a == "--json") == 1 && made.Args[at + 1] == "-";
    }

    private static bool Parses(string text)
    {
        try
        {
            using var document = JsonDocument.Parse(text);
            return true;
        }
        catch (JsonException)
        {
            return false;
        }
    }

    private static (long Length, DateTime At) State(string path) =>
        File.Exists(path) ? (new FileInfo(path).Length, File.GetLastWriteTimeUtc(path)) : (-1, default);

    private Run Execute(PipelineCase made)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        int code = -1;
        Exception? thrown = null;
        var thread = new Thread(() =>
        {
            try
            {
                code = command([.. made.Args], output, error);
            }
            catch (Exception e)
            {
                thrown = e;
            }
        })
        {
            IsBackground = true,
        };
        long before = GC.GetTotalMemory(false),
            most = before;
        var watch = Stopwatch.StartNew();
        double start = ProcessorS();
        thread.Start();
        bool ended;
        while (!(ended = thread.Join(5)) && ProcessorS() - start < MostS + TimesUsual * _usualS && watch.Elapsed.TotalSeconds < GivenUpS)
        {
            most = Math.Max(most, GC.GetTotalMemory(false));
        }

        most = Math.Max(most, GC.GetTotalMemory(false));
        return new(ended, code, thrown, ended ? output.ToString() : "", ended ? error.ToString() : "", ProcessorS() - start, most - before);
    }

    /// <summary>Processor time used by the process so far, on all cores, s.</summary>
    private static double ProcessorS() => Environment.CpuUsage.TotalTime.TotalSeconds;

    private sealed record Run(bool Ended, int ExitCode, Exception? Thrown, string Output, string Error, double ProcessorS, long Bytes);
}
