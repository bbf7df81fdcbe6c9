using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Html;

/// <summary>A piece of HTML or SVG. Text gets in only through <see cref="Of"/>, which escapes it, so that a header or a path out of a
/// log can never become an element or an attribute.</summary>
public readonly record struct Markup
{
    private readonly string? _text;

    private Markup(string text) => _text = text;

    /// <summary>Nothing.</summary>
    public static Markup Empty => default;

    /// <summary>Builds markup from an interpolated string: its literal parts stand as written, every hole is escaped unless it is markup
    /// itself. Numbers are written with a point and at most three decimals unless a format is given.</summary>
    public static Markup Of(ref MarkupHandler handler) => new(handler.ToText());

    /// <summary>The pieces one after the other.</summary>
    public static Markup Join(IEnumerable<Markup> pieces) => new(string.Concat(pieces.Select(piece => piece.ToString())));

    /// <summary>Markup that the tool itself made, such as a style sheet or a drawn figure; never anything out of a log.</summary>
    internal static Markup Trusted(string text) => new(text);

    /// <inheritdoc/>
    public override string ToString() => _text ?? "";
}

/// <summary>Takes the parts of an interpolated string for <see cref="Markup.Of"/>.</summary>
[InterpolatedStringHandler]
public readonly ref struct MarkupHandler
{
    private readonly StringBuilder _text;

    /// <summary>Called by the compiler.</summary>
    public MarkupHandler(int literalLength, int formattedCount) => _text = new StringBuilder(literalLength + 8 * formattedCount);

    /// <summary>A literal part: stands as it is.</summary>
    public void AppendLiteral(string value) => _text.Append(value);

    /// <summary>A text: escaped for element content and for attributes in either kind of quotes.</summary>
    public void AppendFormatted(string? value)
    {
        foreach (char c in value ?? "")
        {
            _ = c switch
            {
                '&' => _text.Append("&amp;"),
                '<' => _text.Append("&lt;"),
                '>' => _text.Append("&gt;"),
                '"' => _text.Append("&quot;"),
                '\'' => _text.Append("&#39;"),
                _ => _text.Append(ShowableText.IsShowable(c) || c is '\n' or '\t' ? c : '\uFFFD'),
            };
        }
    }

    /// <summary>Markup: stands as it is.</summary>
    public void AppendFormatted(Markup value) => _text.Append(value.ToString());

    /// <summary>Pieces of markup, one after the other.</summary>
    public void AppendFormatted(IEnumerable<Markup> values)
    {
        foreach (Markup value in values)
        {
            AppendFormatted(value);
        }
    }

    /// <summary>A whole number.</summary>
    public void AppendFormatted(int value) => _text.Append(value.ToString(CultureInfo.InvariantCulture));

    /// <summary>A number, as a drawing wants it: with a point, a plain minus and at most three decimals.</summary>
    public void AppendFormatted(double value, string format = "0.###") =>
        _text.Append(value.ToString(format, CultureInfo.InvariantCulture));

    internal string ToText() => _text.ToString();
}
