namespace VibeCheck.Cli.Tests;

/// <summary>A temporary folder of one test, deleted after it.</summary>
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
