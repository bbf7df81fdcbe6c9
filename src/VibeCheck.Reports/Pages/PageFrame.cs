using VibeCheck.Reports.Drawings;
using VibeCheck.Reports.Figures;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Html;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Pages;

/// <summary>The frame of every page: title, style, font, and a policy that loads nothing from outside.</summary>
internal static class PageFrame
{
    private static readonly Lazy<Markup> _style = new(Style);

    internal static void Write(Stream stream, string title, Markup body)
    {
        Markup page = Markup.Of(
            $"""
            <!DOCTYPE html>
            <html lang="en">
            <head>
            <meta charset="utf-8">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            {PageOrigin.Mark}
            {PagePolicy.Meta}
            <title>{title}</title>
            <style>
            {_style.Value}</style>
            </head>
            <body>
            {Content(body)}
            <footer><p>{Cautions.Standing}</p><p>Made by VibeCheck {ToolVersion.Text} from the logs named above. Fonts: Inter, SIL Open Font License.</p></footer>
            </body>
            </html>

            """
        );
        using var writer = new StreamWriter(stream, leaveOpen: true);
        writer.Write(page.ToString());
    }

    /// <summary>The content of a page with its hatch pattern and table of contents, without frame and footer.</summary>
    internal static Markup Content(Markup body) => Markup.Of($"{Hatch.Definition}{PageContents.Of(body)}");

    private static Markup Style()
    {
        string css = System.Text.Encoding.UTF8.GetString(ChartFont.File("page.css"));
        return Markup.Trusted(Face("Inter-Regular.ttf", 400) + Face("Inter-SemiBold.ttf", 600) + css);
    }

    private static string Face(string file, int weight) =>
        string.Create(
            System.Globalization.CultureInfo.InvariantCulture,
            $"@font-face {{ font-family: Inter; font-weight: {weight}; src: "
                + $"url(data:font/ttf;base64,{Convert.ToBase64String(ChartFont.File(file))}) format(\"truetype\"); }}\n"
        );
}
