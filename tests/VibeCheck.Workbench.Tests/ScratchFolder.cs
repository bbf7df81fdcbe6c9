namespace VibeCheck.Workbench.Tests;

/// <summary>A temporary folder of one test, deleted after it.</summary>
internal sealed class ScratchFolder : IDisposable
{
    private ScratchFolder(string path) => Path = path;

    internal string Path { get; }

    internal static ScratchFolder Empty() => new(Directory.CreateTempSubdirectory("vibecheck-desk").FullName);

    /// <summary>Copies a sample job.</summary>
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

    /// <summary>The aircraft of the sample and its survey, without a job or a flight: a workbench on it has nothing to calculate.</summary>
    internal static ScratchFolder OfSurvey()
    {
        ScratchFolder folder = Empty();
        foreach (string name in (string[])["airframe.toml", "survey.csv"])
        {
            File.Copy(Repository.Sample("reshim-hexa", name), folder.In(name));
        }

        return folder;
    }

    internal string In(string name) => System.IO.Path.Combine(Path, name);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
