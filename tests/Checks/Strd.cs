using System.Globalization;

namespace VibeCheck.Checks;

/// <summary>Reads the observations of the NIST Statistical Reference Datasets.</summary>
internal static class Strd
{
    /// <summary>All numbers on the lines from first to last, counted from 1 as in the headers of the files.</summary>
    internal static double[] Read(string name, int first, int last) =>
        [
            .. File.ReadLines(Repository.Data("nist-strd", name))
                .Skip(first - 1)
                .Take(last - first + 1)
                .SelectMany(l => l.Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
                .Select(s => double.Parse(s, CultureInfo.InvariantCulture)),
        ];

    /// <summary>All numbers below the dashed line.</summary>
    internal static double[] Column(string name) =>
        [
            .. File.ReadLines(Repository.Data("nist-strd", name))
                .SkipWhile(l => !l.StartsWith("-----", StringComparison.Ordinal))
                .Skip(1)
                .Where(l => l.Trim().Length > 0)
                .Select(l => double.Parse(l, CultureInfo.InvariantCulture)),
        ];
}
