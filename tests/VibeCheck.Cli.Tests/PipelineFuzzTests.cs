using System.Diagnostics;
using VibeCheck.FlightMaker.Pipeline;

namespace VibeCheck.Cli.Tests;

/// <summary>Runs commands on damaged jobs: logs, files written by hand, options and output paths. Each ends within its time and memory
/// limits, with an answer or with what to do; docs/robustness.md gives the limits. It runs alone, because the memory of the whole process
/// is measured.</summary>
[CollectionDefinition(nameof(PipelineFuzzTests), DisableParallelization = true)]
[Collection(nameof(PipelineFuzzTests))]
public sealed class PipelineFuzzTests : IDisposable
{
    // The campaign of the developers starts with the same cases, so both find the same faults.
    private const int Least = 150,
        Most = 2000;
    private static readonly TimeSpan s_enough = TimeSpan.FromSeconds(60);

    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    private PipelineRuns Runs(CommandLine command) => new(command, new PipelineCases(_scratch.Path));

    [Fact]
    [Trait("Category", "Slow")]
    public void Damaged_jobs_end_with_an_answer_or_with_what_to_do()
    {
        PipelineRuns runs = Runs(
            (args, output, error) => VibeCheckApp.Run(args, new Terminal(output, error, TextReader.Null, isInteractive: false))
        );
        runs.Calibrate();
        var watch = Stopwatch.StartNew();
        for (int number = 0; number < Most && (number < Least || watch.Elapsed < s_enough); number++)
        {
            string? fault = runs.Fault(number);
            Assert.True(fault is null, fault);
        }

        // If nearly all cases were refused, nothing after the reading would be tested; if nearly all were answered, nothing would be
        // damaged.
        int all = runs.Ends.Values.Sum(),
            answered = runs.Ends.GetValueOrDefault(ExitCode.Done) + runs.Ends.GetValueOrDefault(ExitCode.NotComparable);
        Assert.InRange(answered, all / 4, 3 * all / 4);
        Assert.True(runs.Ends.GetValueOrDefault(ExitCode.UnusableInput) > all / 10);
    }

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData("exit", "exit code 70")]
    [InlineData("throw", "threw System.InvalidOperationException")]
    [InlineData("silent", "without a word")]
    [InlineData("memory", "MB")]
    [InlineData("input", "changed its input")]
    public void Each_fault_of_a_command_is_detected(string kind, string says)
    {
        PipelineRuns runs = Runs(
            (args, output, _) =>
                kind switch
                {
                    "exit" => ExitCode.OwnFault,
                    "throw" => throw new InvalidOperationException(),
                    "silent" => ExitCode.UnusableInput,
                    "memory" => Hold(new byte[600_000_000]),
                    _ => Append(args.First(a => a.EndsWith(".toml", StringComparison.Ordinal))),
                }
        );
        Assert.Contains(says, runs.Fault(3), StringComparison.Ordinal);
    }

    private static int Hold(byte[] memory)
    {
        Array.Fill(memory, (byte)1);
        Thread.Sleep(50);
        return memory[^1] - 1;
    }

    private static int Append(string path)
    {
        File.AppendAllText(path, "#");
        return ExitCode.Done;
    }
}
