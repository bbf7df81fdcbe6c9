using System.Net;
using System.Text;
using System.Text.RegularExpressions;

namespace VibeCheck.Reports.Tests.Pages;

/// <summary>A page as HTML text, and as the text that a reader sees.</summary>
internal static partial class Rendered
{
    internal static string Html(Action<Stream> write)
    {
        using var stream = new MemoryStream();
        write(stream);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    /// <summary>Text of the body without drawings, tags and style, one line per block.</summary>
    internal static string Words(string html)
    {
        string body = html[html.IndexOf("<body>", StringComparison.Ordinal)..];
        string text = Tag().Replace(CellEnd().Replace(BlockEnd().Replace(Drawing().Replace(body, ""), "\n"), " | "), "");
        string[] lines =
        [
            .. WebUtility.HtmlDecode(text).Split('\n').Select(line => Space().Replace(line, " ").Trim()).Where(line => line.Length > 0),
        ];
        return string.Join("\n", lines) + "\n";
    }

    [GeneratedRegex("<svg.*?</svg>", RegexOptions.Singleline)]
    private static partial Regex Drawing();

    [GeneratedRegex("</(p|h1|h2|h3|li|tr|summary|figcaption)>")]
    private static partial Regex BlockEnd();

    [GeneratedRegex("</t[dh]>(?=<t)")]
    private static partial Regex CellEnd();

    [GeneratedRegex("<[^>]*>")]
    private static partial Regex Tag();

    [GeneratedRegex("[ \u00A0]+")]
    private static partial Regex Space();
}
