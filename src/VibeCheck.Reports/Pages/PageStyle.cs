using VibeCheck.Reports.Figures;

namespace VibeCheck.Reports.Pages;

/// <summary>The style of the pages, for a program that shows their content in a page of its own.</summary>
public static class PageStyle
{
    /// <summary>Names of the font files.</summary>
    public static IReadOnlyList<string> Fonts { get; } = ["Inter-Regular.ttf", "Inter-SemiBold.ttf"];

    /// <summary>The style sheet, without the fonts.</summary>
    public static string Css { get; } = System.Text.Encoding.UTF8.GetString(ChartFont.File("page.css"));

    /// <summary>A font file, one of <see cref="Fonts"/>.</summary>
    /// <exception cref="ArgumentException">The name is none of them.</exception>
    public static byte[] Font(string name) =>
        Fonts.Contains(name, StringComparer.Ordinal)
            ? ChartFont.File(name)
            : throw new ArgumentException($"there is no font {name}", nameof(name));
}
