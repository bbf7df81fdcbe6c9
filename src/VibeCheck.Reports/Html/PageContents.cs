using System.Globalization;
using System.Text.RegularExpressions;

namespace VibeCheck.Reports.Html;

/// <summary>Adds a table of contents for the sections of a page; the style sheet shows it on narrow screens only.</summary>
internal static partial class PageContents
{
    private const int LeastSections = 3;

    /// <summary>The body with anchors at its headings and the table below its header; unchanged with fewer than three sections or
    /// without a header. Headings of tiles are left out.</summary>
    internal static Markup Of(Markup body)
    {
        var entries = new List<string>();
        string text = Heading()
            .Replace(
                body.ToString(),
                match =>
                {
                    if (match.Groups["tile"].Success)
                    {
                        return match.Value;
                    }

                    string id = string.Create(CultureInfo.InvariantCulture, $"s{entries.Count + 1}");
                    entries.Add($"<a href=\"#{id}\">{Tag().Replace(match.Groups["title"].Value, "")}</a>");
                    return $"<h2 id=\"{id}\">{match.Groups["title"].Value}</h2>";
                }
            );
        int at = text.IndexOf("</header>", StringComparison.Ordinal);
        if (entries.Count < LeastSections || at < 0)
        {
            return body;
        }

        string table = $"\n<details class=\"toc\"><summary>On this page</summary><nav>{string.Concat(entries)}</nav></details>";
        return Markup.Trusted(text.Insert(at + "</header>".Length, table));
    }

    [GeneratedRegex("(?<tile><section class=\"tile\">)?<h2>(?<title>.*?)</h2>", RegexOptions.Singleline)]
    private static partial Regex Heading();

    [GeneratedRegex("<[^>]*>")]
    private static partial Regex Tag();
}
