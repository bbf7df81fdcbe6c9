using System.Diagnostics;

namespace VibeCheck.Workbench.Tests;

/// <summary>Runs the command line, to compare its results with those of the workbench.</summary>
internal static class Command
{
    private static string Program { get; } =
        Path.GetFullPath(
            Path.Combine(
                AppContext.BaseDirectory,
                "..",
                "..",
                "VibeCheck.Cli",
                Path.GetFileName(Path.TrimEndingDirectorySeparator(AppContext.BaseDirectory)),
                OperatingSystem.IsWindows() ? "vibecheck.exe" : "vibecheck"
            )
        );

    /// <summary>JSON that <c>vibecheck compare FOLDER --json</c> writes.</summary>
    internal static string CompareJson(string folder)
    {
        using Process process = Start("compare", folder, "--json", "-");
        string json = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return json;
    }

    internal static Process Start(params string[] arguments) => StartIn("", arguments);

    /// <summary>Starts a command in a folder.</summary>
    internal static Process StartIn(string folder, params string[] arguments) =>
        Process.Start(
            new ProcessStartInfo(Program, arguments)
            {
                RedirectStandardOutput = true,
                RedirectStandardError = true,
                WorkingDirectory = folder,
            }
        )!;
}
