using System.Runtime.CompilerServices;

namespace VibeCheck.Reports.Tests;

/// <summary>Approved texts, for wording and layout only. To approve a change, run the tests with VIBECHECK_APPROVE=1 and read the diff.</summary>
internal static class Golden
{
    internal static void Holds(string name, string text, [CallerFilePath] string caller = "")
    {
        string folder = FolderOf(caller);
        string path = Path.Combine(folder, name + ".txt");
        if (Environment.GetEnvironmentVariable("VIBECHECK_APPROVE") == "1")
        {
            Directory.CreateDirectory(folder);
            File.WriteAllText(path, text);
        }

        Assert.True(File.Exists(path), $"{name}.txt is not approved yet");
        Assert.Equal(File.ReadAllText(path), text, ignoreLineEndingDifferences: true);
    }

    // The compiler may give paths that are mapped, so the folder is looked for from the test's own place.
    private static string FolderOf(string caller)
    {
        for (DirectoryInfo? at = new(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (File.Exists(Path.Combine(at.FullName, "VibeCheck.sln")))
            {
                return Path.Combine(at.FullName, "tests", "VibeCheck.Reports.Tests", "Approved");
            }
        }

        throw new InvalidOperationException($"no VibeCheck.sln above {AppContext.BaseDirectory}, called from {Path.GetFileName(caller)}");
    }
}
