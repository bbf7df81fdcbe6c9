using System.Text;
using VibeCheck.Reports.Html;

namespace VibeCheck.Reports.Pages;

/// <summary>The frame of a page for paper: one sheet, black on white, with nothing loaded from outside.</summary>
internal static class PrintPage
{
    private const string Css = """
        *{box-sizing:border-box}
        html{background:#e9ebee;color-scheme:light}
        body{margin:0 auto;background:#fff;color:#000;font:10.5pt/1.3 "Inter","Helvetica Neue",Arial,"Liberation Sans",sans-serif;
        max-width:190mm;padding:8mm}
        h1{font-size:17pt;margin:0;line-height:1.15}
        h2{font-size:12pt;margin:0 0 1mm}
        p{margin:0 0 1.5mm}
        ul{margin:0;padding-left:4.5mm}
        svg{display:block}
        svg text{font-family:inherit;fill:#000}
        .num{font-variant-numeric:tabular-nums}
        .write{display:inline-block;border-bottom:.4mm solid #000;min-width:18mm;height:5mm;vertical-align:bottom}
        .box{appearance:none;-webkit-appearance:none;display:inline-block;width:4.6mm;height:4.6mm;
        border:.5mm solid #000;border-radius:0;background:#fff;vertical-align:-1mm;margin:0 1mm 0 0}
        .box:checked{background:linear-gradient(45deg,transparent 44%,#000 44% 56%,transparent 56%),
        linear-gradient(-45deg,transparent 44%,#000 44% 56%,transparent 56%),#fff}
        label{cursor:pointer}
        .foot{border-top:.5mm solid #000;margin-top:3mm;padding-top:1.5mm;font-size:9.5pt}
        .soft{color:#333}
        @media print{html{background:#fff}body{max-width:none;padding:0;margin:0}}
        @media (max-width:600px){body{padding:4mm}}
        """;

    internal static void Write(Stream stream, string title, bool letter, string extraCss, Markup body)
    {
        string size = letter ? "letter" : "A4";
        Markup page = Markup.Of(
            $"""
            <!doctype html>
            <html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1">
            {PagePolicy.Meta}
            <title>{title}</title>
            <style>@page{Markup.Trusted("{size:" + size + ";margin:" + (letter ? "9mm 12mm" : "9mm 10mm") + "}")}
            {Markup.Trusted(Css)}
            {Markup.Trusted(extraCss)}</style></head>
            <body>
            {body}
            </body></html>

            """
        );
        stream.Write(Encoding.UTF8.GetBytes(page.ToString()));
    }

    internal static Markup Cautions() => Markup.Of($"<ul>{Text.ShimPlanText.Bench.Select(c => Markup.Of($"<li>{c}</li>"))}</ul>");
}
