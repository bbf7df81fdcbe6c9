namespace VibeCheck.Reports.Html;

/// <summary>Tables of a page: the first column names the row, numbers are aligned to the right, wide tables have their own scroll
/// bar.</summary>
internal static class Table
{
    /// <param name="headings">One per column. A leading # marks a column of numbers, a leading ~ one of longer text.</param>
    /// <param name="rows">One cell per column.</param>
    internal static Markup Of(IReadOnlyList<string> headings, IEnumerable<IReadOnlyList<Markup>> rows)
    {
        string[] kinds =
        [
            .. headings.Select(h =>
                h.Length > 0 && h[0] == '#' ? "n"
                : h.Length > 0 && h[0] == '~' ? "w"
                : ""
            ),
        ];
        var head = headings.Select((h, i) => Markup.Of($"""<th scope="col" class="{kinds[i]}">{h.TrimStart('#', '~')}</th>"""));
        var body = rows.Select(row =>
            Markup.Of($"<tr>{row.Select((cell, i) => Cell(cell, i, headings[i].TrimStart('#', '~'), kinds[i]))}</tr>\n")
        );
        string flow = headings.Count > 3 ? "flow" : "";
        return Markup.Of(
            $"<div class=\"scroll\"><table class=\"{flow}\"><thead><tr>{head}</tr></thead><tbody>\n{body}</tbody></table></div>\n"
        );
    }

    /// <summary>A table that opens on a click, such as one with the numbers of a figure.</summary>
    internal static Markup Folded(string summary, Markup table) => Markup.Of($"<details><summary>{summary}</summary>\n{table}</details>\n");

    internal static Markup Text(string? text) => Markup.Of($"{text}");

    // Each cell carries its heading: on a phone, each row of a wide table becomes a short list.
    private static Markup Cell(Markup cell, int column, string heading, string kind) =>
        column == 0
            ? Markup.Of($"""<th scope="row" class="{kind}">{cell}</th>""")
            : Markup.Of($"""<td class="{kind}" data-h="{heading}">{cell}</td>""");
}
