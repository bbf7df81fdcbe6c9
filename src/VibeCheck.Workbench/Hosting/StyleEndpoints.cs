using VibeCheck.Reports.Pages;

namespace VibeCheck.Workbench.Hosting;

/// <summary>The style sheet and fonts of the reports, for the pages of the workbench that show their content.</summary>
internal static class StyleEndpoints
{
    internal static void Map(WebApplication app)
    {
        app.MapGet("/look/report.css", () => Results.Text(FontFaces() + PageStyle.Css, "text/css"));
        app.MapGet(
            "/look/{font}",
            (string font) => PageStyle.Fonts.Contains(font) ? Results.Bytes(PageStyle.Font(font), "font/ttf") : Results.NotFound()
        );
    }

    private static string FontFaces() =>
        $$"""
            @font-face { font-family: Inter; font-weight: 400; src: url({{PageStyle.Fonts[0]}}) format("truetype"); }
            @font-face { font-family: Inter; font-weight: 600; src: url({{PageStyle.Fonts[1]}}) format("truetype"); }

            """;
}
