namespace VibeCheck.Cli.Tests;

/// <summary>Folders that tests need.</summary>
internal static class Places
{
    /// <summary>The root of the checkout.</summary>
    internal static string Root { get; } = FindRoot();

    internal static string Sample(params string[] parts) => Path.Combine([Root, "sample-logs", .. parts]);

    private static string FindRoot()
    {
        for (DirectoryInfo? at = new(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (File.Exists(Path.Combine(at.FullName, "VibeCheck.sln")))
            {
                return at.FullName;
            }
        }

        throw new InvalidOperationException("the tests run outside a checkout");
    }
}

/// <summary>A folder of a test's own, gone with the test.</summary>
internal sealed class ScratchFolder : IDisposable
{
    internal string Path { get; } = Directory.CreateTempSubdirectory("vibecheck-test-").FullName;

    internal string File(string name, string content)
    {
        string path = System.IO.Path.Combine(Path, name);
        System.IO.File.WriteAllText(path, content);
        return path;
    }

    internal string Name(string name) => System.IO.Path.Combine(Path, name);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
