namespace VibeCheck.Reports.Tests;

/// <summary>Approved texts, for wording and layout only. To approve a change, run the tests with VIBECHECK_APPROVE=1 and read the
/// diff.</summary>
internal static class Golden
{
    internal static void Holds(string name, string text)
    {
        string folder = Path.Combine(Repository.Root, "tests", "VibeCheck.Reports.Tests", "Approved");
        string path = Path.Combine(folder, name + ".txt");
        if (Environment.GetEnvironmentVariable("VIBECHECK_APPROVE") == "1")
        {
            Directory.CreateDirectory(folder);
            File.WriteAllText(path, text);
        }

        Assert.True(File.Exists(path), $"{name}.txt is not approved yet");
        Assert.Equal(File.ReadAllText(path), text, ignoreLineEndingDifferences: true);
    }
}
