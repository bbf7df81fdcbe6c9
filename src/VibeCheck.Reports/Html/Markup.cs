using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Reports.Html;

/// <summary>A piece of HTML or SVG. Text from outside enters only through <see cref="Of"/>, which escapes it, so that a header or a path
/// from a log can never become an element or an attribute.</summary>
public readonly record struct Markup
{
    private readonly string? _text;

    private Markup(string text) => _text = text;

    /// <summary>Nothing.</summary>
    public static Markup Empty => default;

    /// <summary>Builds markup from an interpolated string: its literal parts are kept as written, every interpolated value is escaped
    /// unless it is markup itself. Numbers are written with a decimal point and at most three decimals unless a format is given.</summary>
    public static Markup Of(ref MarkupHandler handler) => new(handler.ToText());

    /// <summary>Joins the pieces without a separator.</summary>
    public static Markup Join(IEnumerable<Markup> pieces) => new(string.Concat(pieces.Select(piece => piece.ToString())));

    /// <summary>Markup that the tool itself made, such as a style sheet or a drawn figure; never text from a log.</summary>
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

    /// <summary>A literal part: kept as it is.</summary>
    public void AppendLiteral(string value) => _text.Append(value);

    /// <summary>A text: escaped for element content and for attributes in either kind of quotes. A character that may not be shown
    /// becomes U+FFFD.</summary>
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

    /// <summary>Markup: kept as it is.</summary>
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

    /// <summary>A number as SVG needs it: with a decimal point, a hyphen as minus and, by default, at most three decimals.</summary>
    public void AppendFormatted(double value, string format = "0.###") =>
        _text.Append(value.ToString(format, CultureInfo.InvariantCulture));

    internal string ToText() => _text.ToString();
}
