namespace VibeCheck.Cli.Tests;

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
