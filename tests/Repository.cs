namespace VibeCheck.Tests;

/// <summary>Files of the checkout that the tests were built from; compiled into every test project.</summary>
internal static class Repository
{
    /// <summary>The folder with VibeCheck.sln, found by walking up from the test program.</summary>
    internal static string Root { get; } = FindRoot();

    /// <summary>A file or folder under sample-logs.</summary>
    internal static string Sample(params string[] parts) => Path.Combine([Root, "sample-logs", .. parts]);

    /// <summary>A third-party data file under tests/data. A missing file is a fault of the checkout, never a reason to skip a
    /// test.</summary>
    internal static string Data(params string[] parts)
    {
        string path = Path.Combine([Root, "tests", "data", .. parts]);
        return Path.Exists(path) ? path : throw new FileNotFoundException($"{path} belongs to the repository and is missing");
    }

    private static string FindRoot()
    {
        DirectoryInfo? at = new(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "VibeCheck.sln")))
        {
            at = at.Parent;
        }

        return at?.FullName ?? throw new DirectoryNotFoundException("no folder above the tests holds VibeCheck.sln");
    }
}
