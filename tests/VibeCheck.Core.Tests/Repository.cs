namespace VibeCheck.Core.Tests;

/// <summary>The folder that the tests were built from.</summary>
internal static class Repository
{
    /// <summary>Found by walking up from the test assembly to the folder that holds VibeCheck.sln.</summary>
    internal static string Root
    {
        get
        {
            DirectoryInfo? at = new(AppContext.BaseDirectory);
            while (at is not null && !File.Exists(Path.Combine(at.FullName, "VibeCheck.sln")))
            {
                at = at.Parent;
            }

            return at?.FullName ?? throw new DirectoryNotFoundException("no folder above the tests holds VibeCheck.sln");
        }
    }
}
