using Spectre.Console;
using Spectre.Console.Rendering;

namespace VibeCheck.Reports.Tables;

/// <summary>A column of a <see cref="TextTable"/>.</summary>
/// <param name="Header">Text above the column; empty for none.</param>
/// <param name="LeastWidth">Least width, characters; a wider cell widens the column.</param>
/// <param name="IsRight">Whether its cells are aligned to the right, as numbers are.</param>
/// <param name="Gap">Spaces before it.</param>
internal readonly record struct TextColumn(string Header, int LeastWidth = 0, bool IsRight = false, int Gap = 2);

/// <summary>A cell of a <see cref="TextTable"/>; its text is never broken.</summary>
/// <param name="Text">Its text.</param>
/// <param name="Style">Its style; null for a plain one.</param>
internal readonly record struct TextCell(string Text, Style? Style = null)
{
    public static implicit operator TextCell(string text) => new(text);
}

/// <summary>A table of text without borders at its sides, laid out by Spectre.Console. Trailing spaces are removed.</summary>
internal sealed class TextTable : Renderable
{
    private const int WidthEnough = 10_000;

    private static readonly RenderOptions s_plain = RenderOptions.Create(
        AnsiConsole.Create(
            new AnsiConsoleSettings
            {
                Ansi = AnsiSupport.No,
                ColorSystem = ColorSystemSupport.NoColors,
                Interactive = InteractionSupport.No,
                Enrichment = new ProfileEnrichment { UseDefaultEnrichers = false },
                Out = new AnsiConsoleOutput(TextWriter.Null),
            }
        )
    );

    private readonly Table _table;
    private readonly IReadOnlyList<TextColumn> _columns;
    private readonly int _indent;
    private readonly Func<string, string> _shown;

    /// <param name="columns">The columns.</param>
    /// <param name="indent">Spaces before every line.</param>
    /// <param name="rule">Character of the rules under the headers and under the last row; null for no rules.</param>
    /// <param name="shown">Turns a text into what the console shows; null to leave it as it is.</param>
    internal TextTable(IReadOnlyList<TextColumn> columns, int indent = 0, char? rule = null, Func<string, string>? shown = null)
    {
        _columns = columns;
        _indent = indent;
        _shown = shown ?? (text => text);
        _table = new Table
        {
            Border = new RuleBorder(rule?.ToString() ?? ""),
            UseSafeBorder = false,
            ShowHeaders = columns.Any(c => c.Header.Length > 0),
        };
        foreach (TextColumn column in columns)
        {
            var header = new Unbroken(_shown(column.Header), null);
            _table.AddColumn(
                new TableColumn(header)
                {
                    Width = Math.Max(column.LeastWidth, header.Width),
                    Alignment = column.IsRight ? Justify.Right : Justify.Left,
                    Padding = new Padding(column.Gap, 0, 0, 0),
                    NoWrap = true,
                }
            );
        }
    }

    /// <summary>One row of the columns, without their headers.</summary>
    internal static TextTable OneRow(
        IReadOnlyList<TextColumn> columns,
        ReadOnlySpan<TextCell> cells,
        int indent = 0,
        Func<string, string>? shown = null
    )
    {
        TextTable table = new([.. columns.Select(c => c with { Header = "" })], indent, shown: shown);
        table.Add(cells);
        return table;
    }

    internal void Add(params ReadOnlySpan<TextCell> cells)
    {
        var row = new List<IRenderable>(cells.Length);
        for (int i = 0; i < cells.Length; i++)
        {
            var cell = new Unbroken(_shown(cells[i].Text), cells[i].Style);
            _table.Columns[i].Width = Math.Max(_table.Columns[i].Width ?? 0, cell.Width);
            row.Add(cell);
        }

        _table.AddRow(row);
    }

    /// <summary>Writes it as plain text, without colours.</summary>
    internal void Write(TextWriter output)
    {
        foreach (Segment segment in Render(s_plain, WidthEnough))
        {
            output.Write(segment.IsLineBreak ? output.NewLine : segment.Text);
        }
    }

    /// <inheritdoc/>
    protected override IEnumerable<Segment> Render(RenderOptions options, int maxWidth)
    {
        // A caller without room for a table writes a list instead, so a table is never made narrower than its cells.
        foreach (SegmentLine line in Segment.SplitLines(((IRenderable)_table).Render(options, WidthEnough)))
        {
            List<Segment> trimmed = Trimmed(line);
            if (trimmed.Count == 0)
            {
                // The border also draws a line above the headers; here that line is empty.
                continue;
            }

            yield return Segment.Padding(_indent);
            foreach (Segment segment in trimmed)
            {
                yield return segment;
            }

            yield return Segment.LineBreak;
        }
    }

    private static List<Segment> Trimmed(SegmentLine line)
    {
        List<Segment> segments = [.. line];
        while (segments.Count > 0 && string.IsNullOrWhiteSpace(segments[^1].Text))
        {
            segments.RemoveAt(segments.Count - 1);
        }

        if (segments.Count > 0)
        {
            segments[^1] = new Segment(segments[^1].Text.TrimEnd(), segments[^1].Style);
        }

        return segments;
    }

    /// <summary>A text that is kept on one line, with its spaces.</summary>
    private sealed class Unbroken(string text, Style? style) : Renderable
    {
        internal int Width { get; } = Segment.CellCount([new Segment(text)]);

        protected override Measurement Measure(RenderOptions options, int maxWidth) => new(Width, Width);

        protected override IEnumerable<Segment> Render(RenderOptions options, int maxWidth)
        {
            if (options.Justification == Justify.Right && maxWidth > Width)
            {
                yield return Segment.Padding(maxWidth - Width);
            }

            if (text.Length > 0)
            {
                yield return new Segment(text, style ?? Style.Plain);
            }
        }
    }

    /// <summary>A rule under the headers and one under the last row; empty for none.</summary>
    private sealed class RuleBorder(string line) : TableBorder
    {
        public override string GetPart(TableBorderPart part) =>
            part is TableBorderPart.HeaderBottom or TableBorderPart.FooterBottom ? line : "";
    }
}
