using System.Text;
using Spectre.Console;
using VibeCheck.Core.Comparisons;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Tables;

namespace VibeCheck.Reports.Console;

/// <summary>Lines of a summary: as wide as the console within reason, a colour only beside a word or sign that says the same.</summary>
internal sealed class ConsolePage
{
    /// <summary>Columns that every table is made for; on a narrower console tables become lists.</summary>
    internal const int UsualColumns = 80;

    // Longer lines are hard to read.
    private const int MostTextColumns = 110;
    private const int TableIndent = 2;
    private readonly IAnsiConsole _console;
    private readonly bool _unicode;
    private readonly int _width;

    internal ConsolePage(IAnsiConsole console, bool plain)
    {
        _console = console;
        Plain = plain;
        _unicode = !plain && console.Profile.Capabilities.Unicode;
        Width = console.Profile.Width;
        _width = Math.Min(MostTextColumns, Width);
    }

    /// <summary>Columns of the console.</summary>
    internal int Width { get; }

    /// <summary>Columns beyond those that every table is made for.</summary>
    internal int SpareColumns => Math.Max(0, Width - UsualColumns);

    /// <summary>Whether a line of so many columns stays one line.</summary>
    internal bool Fits(int columns) => columns <= Width;

    /// <summary>One line a fact, without columns, colour or drawn lines.</summary>
    internal bool Plain { get; }

    /// <summary>The sign of a call; it always stands beside its word or above a legend.</summary>
    internal string Sign(CallKind call) =>
        (call, _unicode) switch
        {
            (CallKind.Improved, true) => "▼",
            (CallKind.Worse, true) => "▲",
            (CallKind.NoClearChange, true) => "●",
            (CallKind.Improved, false) => "v",
            (CallKind.Worse, false) => "^",
            (CallKind.NoClearChange, false) => "o",
            _ => "?",
        };

    internal static Style Colour(CallKind call) =>
        call switch
        {
            CallKind.Improved => new Style(new Color(0, 158, 115)),
            CallKind.Worse => new Style(new Color(213, 94, 0)),
            _ => Style.Plain,
        };

    internal void Blank() => _console.WriteLine();

    /// <summary>A line of pieces with their styles; as long as it is, so the caller keeps it
    /// short. Spaces at its end are left out.</summary>
    internal void Line(params ReadOnlySpan<(string Text, Style Style)> pieces)
    {
        int last = pieces.Length - 1;
        while (last > 0 && string.IsNullOrWhiteSpace(pieces[last].Text))
        {
            last--;
        }

        for (int i = 0; i <= last; i++)
        {
            string text = Fit(pieces[i].Text);
            _console.Write(i == last ? text.TrimEnd() : text, Plain ? Style.Plain : pieces[i].Style);
        }

        _console.WriteLine();
    }

    internal void Line(string text) => Line((text, Style.Plain));

    /// <summary>A thin rule as long as the table under it.</summary>
    internal void Rule(int length) => Line("  " + new string(_unicode ? '─' : '-', length));

    /// <summary>A table to be filled, with a thin rule under its headers and its last row; two spaces stand before it.</summary>
    internal TextTable Table(IReadOnlyList<TextColumn> columns) => new(columns, TableIndent, _unicode ? '─' : '-', Fit);

    internal void Write(TextTable table) => _console.Write(table);

    /// <summary>One row in columns; two spaces stand before it.</summary>
    internal void Row(IReadOnlyList<TextColumn> columns, params ReadOnlySpan<TextCell> cells)
    {
        Write(TextTable.OneRow(columns, cells, TableIndent, Fit));
    }

    /// <summary>A paragraph, broken at spaces; it starts at an indent, and its later lines at another.</summary>
    internal void Paragraph(string text, int indent = 0, int later = 0, Style? style = null)
    {
        foreach (string line in WrappedLines.Of(Fit(text), _width, new string(' ', indent), new string(' ', later)))
        {
            Line((line, style ?? Style.Plain));
        }
    }

    // The typographic minus is one that neither scripts nor all terminals read; control characters out of a log must not
    // steer the terminal.
    internal string Fit(string text)
    {
        var fit = new StringBuilder(text.Length);
        foreach (char c in text)
        {
            _ = c switch
            {
                Formatting.Format.Minus => fit.Append('-'),
                '×' when !_unicode => fit.Append('x'),
                '→' when !_unicode => fit.Append("to"),
                _ when !ShowableText.IsShowable(c) => fit.Append('?'),
                _ => fit.Append(c),
            };
        }

        return fit.ToString();
    }
}
