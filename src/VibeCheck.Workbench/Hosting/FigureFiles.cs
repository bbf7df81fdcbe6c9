using System.IO.Compression;
using System.Text;
using System.Text.RegularExpressions;
using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Pages;

namespace VibeCheck.Workbench.Hosting;

/// <summary>The figures of the report as separate SVG files, each with the style of the pages.</summary>
internal static partial class FigureFiles
{
    /// <summary>Writes a zip archive of all figures, in the order of the report, in the version for a screen or paper.</summary>
    /// <param name="content">Content of the report as HTML.</param>
    /// <param name="stream">Takes the archive.</param>
    internal static void Write(string content, Stream stream)
    {
        using var archive = new ZipArchive(stream, ZipArchiveMode.Create, leaveOpen: true);
        int number = 0;
        foreach (Match figure in Figure().Matches(content))
        {
            number++;
            string own = Narrow().Replace(figure.Value, "");
            int part = 0;
            foreach (Match drawing in Drawing().Matches(own[..own.IndexOf("<figcaption", StringComparison.Ordinal)]))
            {
                part++;
                string name = string.Create(
                    System.Globalization.CultureInfo.InvariantCulture,
                    $"figure-{number:00}{(part > 1 ? $"-{part}" : "")}.svg"
                );
                using Stream file = archive.CreateEntry(name, CompressionLevel.Optimal).Open();
                file.Write(Encoding.UTF8.GetBytes(Alone(drawing.Value)));
            }
        }
    }

    /// <summary>The style sheet of the pages up to its first media query, with light colours, escaped for XML.</summary>
    private static string Style { get; } =
        PageStyle
            .Css[..PageStyle.Css.IndexOf("@media", StringComparison.Ordinal)]
            .Replace("color-scheme: light dark", "color-scheme: light", StringComparison.Ordinal)
            .Replace("&", "&amp;", StringComparison.Ordinal)
            .Replace("<", "&lt;", StringComparison.Ordinal);

    /// <summary>A drawing of a page as a file of its own, with its namespace, its size and the style; with the pattern for unknown values
    /// where it uses it, which a page holds only once.</summary>
    private static string Alone(string svg)
    {
        Match box = ViewBox().Match(svg);
        string size = box.Success ? $" width=\"{box.Groups[1].Value}\" height=\"{box.Groups[2].Value}\"" : "";
        string pattern = svg.Contains(Hatch.Fill, StringComparison.Ordinal) ? Hatch.Pattern.ToString() : "";
        int end = svg.IndexOf('>', StringComparison.Ordinal);
        return $"<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\"{size}{svg[4..end]}>"
            + $"<style>{Style}</style>{pattern}{svg[(end + 1)..]}\n";
    }

    [GeneratedRegex("<figure>.*?</figure>", RegexOptions.Singleline)]
    private static partial Regex Figure();

    [GeneratedRegex("<div class=\"narrow\">.*?</div>", RegexOptions.Singleline)]
    private static partial Regex Narrow();

    [GeneratedRegex("<svg .*?</svg>", RegexOptions.Singleline)]
    private static partial Regex Drawing();

    [GeneratedRegex("viewBox=\"[-0-9.]+ [-0-9.]+ ([0-9.]+) ([0-9.]+)\"")]
    private static partial Regex ViewBox();
}
