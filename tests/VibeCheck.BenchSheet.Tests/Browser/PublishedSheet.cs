using System.Diagnostics;

namespace VibeCheck.BenchSheet.Tests.Browser;

/// <summary>The static files of the bench sheet, as <c>dotnet publish</c> writes them; made once for all tests. Files published after the
/// last change of a source are used again: publishing again would change files under a browser that another test process has
/// open.</summary>
internal static class PublishedSheet
{
    private static readonly Lazy<string> s_folder = new(Made);

    /// <summary>Folder of index.html.</summary>
    internal static string Folder => s_folder.Value;

    private static string Made()
    {
        // Tests of the workbench use the same files and may run at the same time.
        using FileStream held = Hold(Path.Combine(Repository.Root, "artifacts", ".bench-sheet.lock"));
        string folder = Path.Combine(Repository.Root, "artifacts", "publish", "VibeCheck.BenchSheet", "release");
        var made = new FileInfo(Path.Combine(folder, "made"));
        if (!made.Exists || made.LastWriteTimeUtc < NewestSource())
        {
            Publish();
        }

        return Path.Combine(folder, "wwwroot");
    }

    private static DateTime NewestSource() =>
        new DirectoryInfo(Path.Combine(Repository.Root, "src"))
            .EnumerateFiles("*", SearchOption.AllDirectories)
            .Concat(new DirectoryInfo(Repository.Root).EnumerateFiles("Directory.*"))
            .Max(f => f.LastWriteTimeUtc);

    private static void Publish()
    {
        string project = Path.Combine(Repository.Root, "src", "VibeCheck.BenchSheet");
        var start = new ProcessStartInfo(
            "dotnet",
            ["publish", project, "-c", "Release", "--nologo", "-v", "quiet", "--disable-build-servers"]
        )
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            WorkingDirectory = Repository.Root,
        };

        // The test runner's own settings would affect the build.
        foreach (string name in start.Environment.Keys.Where(k => k.StartsWith("MSBUILD", StringComparison.OrdinalIgnoreCase)).ToArray())
        {
            start.Environment.Remove(name);
        }

        using Process process = Process.Start(start)!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, $"dotnet publish failed:\n{output}\n{errors.Result}");
    }

    private static FileStream Hold(string file)
    {
        var patience = TimeSpan.FromMinutes(10);
        var watch = Stopwatch.StartNew();
        while (true)
        {
            try
            {
                return new(file, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, 1, FileOptions.DeleteOnClose);
            }
            catch (IOException) when (watch.Elapsed < patience)
            {
                Thread.Sleep(200);
            }
        }
    }
}
