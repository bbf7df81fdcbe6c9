using System.Text;
using Spectre.Console;
using VibeCheck.Core.Comparisons;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Tables;

namespace VibeCheck.Reports.Console;

/// <summary>Writes the lines of a summary, as wide as the console up to a limit; colour only repeats what a word or sign says.</summary>
internal sealed class ConsolePage
{
    /// <summary>Width that every table fits into, columns; on a narrower console tables become lists.</summary>
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

    /// <summary>Columns beyond <see cref="UsualColumns"/>.</summary>
    internal int SpareColumns => Math.Max(0, Width - UsualColumns);

    /// <summary>Whether a line of this many columns fits.</summary>
    internal bool Fits(int columns) => columns <= Width;

    /// <summary>Whether to write one fact per line, without columns, colour or rules.</summary>
    internal bool Plain { get; }

    /// <summary>The sign of a call; always shown beside its word or with a legend.</summary>
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

    /// <summary>Writes a line of pieces with their styles. It is not wrapped, so the caller keeps it
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

    /// <summary>Writes a thin rule.</summary>
    internal void Rule(int length) => Line("  " + new string(_unicode ? '─' : '-', length));

    /// <summary>A table to be filled, indented by two spaces, with a thin rule under its headers and its last row.</summary>
    internal TextTable Table(IReadOnlyList<TextColumn> columns) => new(columns, TableIndent, _unicode ? '─' : '-', Fit);

    internal void Write(TextTable table) => _console.Write(table);

    /// <summary>Writes one row in columns, indented by two spaces.</summary>
    internal void Row(IReadOnlyList<TextColumn> columns, params ReadOnlySpan<TextCell> cells)
    {
        Write(TextTable.OneRow(columns, cells, TableIndent, Fit));
    }

    /// <summary>Writes a paragraph, wrapped at spaces, with one indent for its first line and one for later lines.</summary>
    internal void Paragraph(string text, int indent = 0, int later = 0, Style? style = null)
    {
        foreach (string line in WrappedLines.Of(Fit(text), _width, new string(' ', indent), new string(' ', later)))
        {
            Line((line, style ?? Style.Plain));
        }
    }

    // Scripts do not read the typographic minus, and not all terminals show it; control characters from a log must not reach the
    // terminal.
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
