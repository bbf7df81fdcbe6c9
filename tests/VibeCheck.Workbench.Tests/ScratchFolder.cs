namespace VibeCheck.Workbench.Tests;

/// <summary>A folder of its own for a test, gone afterwards.</summary>
internal sealed class ScratchFolder : IDisposable
{
    private ScratchFolder(string path) => Path = path;

    internal string Path { get; }

    internal static ScratchFolder Empty() => new(Directory.CreateTempSubdirectory("vibecheck-desk").FullName);

    /// <summary>A copy of a sample job.</summary>
    internal static ScratchFolder Of(string sample, params string[] without)
    {
        ScratchFolder folder = Empty();
        string from = Repository.Sample(sample);
        foreach (string file in Directory.EnumerateFiles(from, "*", SearchOption.AllDirectories))
        {
            string name = System.IO.Path.GetRelativePath(from, file),
                to = System.IO.Path.Combine(folder.Path, name);
            if (name != "truth.json" && !without.Contains(name))
            {
                Directory.CreateDirectory(System.IO.Path.GetDirectoryName(to)!);
                File.Copy(file, to);
            }
        }

        return folder;
    }

    internal string In(string name) => System.IO.Path.Combine(Path, name);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
