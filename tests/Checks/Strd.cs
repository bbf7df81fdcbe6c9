using System.Globalization;

namespace VibeCheck.Checks;

/// <summary>Reads the observations of the NIST Statistical Reference Datasets where their files are at hand; skips the test where not.</summary>
internal static class Strd
{
    /// <summary>All numbers on the lines from first to last, counted from 1 as the files' own headers do.</summary>
    internal static double[] Read(string name, int first, int last)
    {
        string? path = Find(name);
        Assert.SkipWhen(path is null, $"{name} of the NIST Statistical Reference Datasets is not at hand");
        return [.. File.ReadLines(path!).Skip(first - 1).Take(last - first + 1)
            .SelectMany(l => l.Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
            .Select(s => double.Parse(s, CultureInfo.InvariantCulture))];
    }

    /// <summary>All numbers below the line of dashes.</summary>
    internal static double[] Column(string name)
    {
        string? path = Find(name);
        Assert.SkipWhen(path is null, $"{name} of the NIST Statistical Reference Datasets is not at hand");
        return [.. File.ReadLines(path!).SkipWhile(l => !l.StartsWith("-----", StringComparison.Ordinal)).Skip(1)
            .Where(l => l.Trim().Length > 0).Select(l => double.Parse(l, CultureInfo.InvariantCulture))];
    }

    private static string? Find(string name)
    {
        for (DirectoryInfo? at = new(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (File.Exists(Path.Combine(at.FullName, "VibeCheck.sln")))
            {
                string path = Path.Combine(at.FullName, "..", "shared", "checks", "nist-strd", name);
                return File.Exists(path) ? path : null;
            }
        }

        return null;
    }
}
