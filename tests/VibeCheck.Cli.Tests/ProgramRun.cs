using System.Diagnostics;

namespace VibeCheck.Cli.Tests;

/// <summary>One run of the built program as a separate process, started by a shell so that its streams can be closed, full or
/// files.</summary>
internal sealed record ProgramRun(int ExitCode, string Output, string Error)
{
    /// <summary>The command that starts the program, for use in a shell command line.</summary>
    internal static string Program => $"dotnet '{typeof(VibeCheckApp).Assembly.Location}'";

    /// <summary>Runs a shell command line in which v is the program.</summary>
    internal static ProgramRun Shell(string folder, string line, params (string Name, string Value)[] environment)
    {
        using Process process = Start(folder, line, environment);
        Task<string> output = process.StandardOutput.ReadToEndAsync(),
            error = process.StandardError.ReadToEndAsync();
        Assert.True(process.WaitForExit(120_000), $"{line} does not end");
        return new(process.ExitCode, output.Result, error.Result);
    }

    internal static Process Start(string folder, string line, params (string Name, string Value)[] environment)
    {
        var start = new ProcessStartInfo("bash", ["-c", $"v() {{ {Program} \"$@\"; }}; {line}"])
        {
            WorkingDirectory = folder,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
        };
        foreach ((string name, string value) in environment)
        {
            start.Environment[name] = value;
        }

        return Process.Start(start)!;
    }

    internal static void RequireShell()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("needs a shell that can close streams");
        }
    }
}
