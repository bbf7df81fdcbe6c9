using System.Diagnostics;
using System.Text.RegularExpressions;
using VibeCheck.BenchSheet.Tests.Browser;

namespace VibeCheck.Workbench.Tests;

/// <summary>The workbench on a folder, as a separate process.</summary>
internal sealed partial class DeskProcess : IDisposable
{
    private static readonly TimeSpan s_patience = TimeSpan.FromMilliseconds(Patience.PageMs);
    private readonly Process _process;

    private DeskProcess(Process process, string folder, Uri address)
    {
        (_process, Folder, Address) = (process, folder, address);
        Origin = new Uri(address.GetLeftPart(UriPartial.Authority));
    }

    internal string Folder { get; }

    /// <summary>The printed address with its token.</summary>
    internal Uri Address { get; }

    internal Uri Origin { get; }

    internal int Id => _process.Id;

    /// <summary>The program, in the folder of its own project.</summary>
    internal static string Program { get; } =
        Path.GetFullPath(
            Path.Combine(
                AppContext.BaseDirectory,
                "..",
                "..",
                "VibeCheck.Workbench",
                Path.GetFileName(Path.TrimEndingDirectorySeparator(AppContext.BaseDirectory)),
                OperatingSystem.IsWindows() ? "vibecheck-workbench.exe" : "vibecheck-workbench"
            )
        );

    /// <summary>Starts the workbench and waits for its address.</summary>
    internal static DeskProcess Start(string folder, params string[] more) => Started(Run([folder, "--no-open", .. more]), folder);

    /// <summary>Starts the workbench through another program, which is given its path and its arguments.</summary>
    internal static DeskProcess StartBy(string program, string[] arguments, string folder) =>
        Started(
            Process.Start(
                new ProcessStartInfo(program, [.. arguments, Program, folder, "--no-open"])
                {
                    RedirectStandardOutput = true,
                    RedirectStandardError = true,
                }
            )!,
            folder
        );

    /// <summary>Takes a process that was started on a folder and waits for its address.</summary>
    internal static DeskProcess Started(Process process, string folder)
    {
        using var late = new CancellationTokenSource(s_patience);
        while (process.StandardOutput.ReadLineAsync(late.Token).AsTask().GetAwaiter().GetResult() is string line)
        {
            if (Printed().Match(line) is { Success: true } match)
            {
                return new(process, folder, new Uri(match.Value));
            }
        }

        throw new InvalidOperationException("the workbench printed no address: " + process.StandardError.ReadToEnd());
    }

    /// <summary>The address for the phone, which <c>--share</c> prints after its own; null on a machine without a network.</summary>
    internal async Task<Uri?> SharedAsync()
    {
        using var late = new CancellationTokenSource(s_patience);
        while (await _process.StandardOutput.ReadLineAsync(late.Token) is string line)
        {
            if (line.Contains("is not shared", StringComparison.Ordinal))
            {
                return null;
            }

            if (SharedLink().Match(line) is { Success: true } match)
            {
                return new Uri(match.Value);
            }
        }

        throw new InvalidOperationException("the workbench printed no address for the phone");
    }

    /// <summary>Starts the workbench with any arguments.</summary>
    internal static Process Run(params string[] arguments) =>
        Process.Start(new ProcessStartInfo(Program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })!;

    /// <summary>Kills the process without warning, like a power failure.</summary>
    internal void Kill()
    {
        _process.Kill();
        _process.WaitForExit();
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            Kill();
        }

        _process.Dispose();
    }

    [GeneratedRegex(@"http://\S+token=\w+")]
    private static partial Regex Printed();

    [GeneratedRegex(@"http://\S+code=\w+")]
    private static partial Regex SharedLink();
}
