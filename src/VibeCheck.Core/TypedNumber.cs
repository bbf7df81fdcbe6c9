using System.Globalization;

namespace VibeCheck.Core;

/// <summary>What a text that a person typed for a number turned out to be.</summary>
public enum TypedNumberForm
{
    /// <summary>A finite number.</summary>
    Number,

    /// <summary>Not a number: letters, a unit, nothing at all, hexadecimal digits, NaN or an infinity.</summary>
    NotANumber,

    /// <summary>More than one decimal mark, such as 1.234,5 or 1,234,567: one of them would have
    /// to part thousands, and which is not known.</summary>
    SeveralMarks,

    /// <summary>A number that no double holds, such as 1e400.</summary>
    TooLarge,
}

/// <summary>Reads a number as a person types it: with a point or a comma as decimal mark, never with marks between thousands.</summary>
/// <remarks>
/// Read: an optional sign, digits with at most one decimal mark, and an optional exponent (e or E, a sign, digits). So <c>28,6</c> and
/// <c>28.6</c> are the same number, and <c>1,234</c> is 1.234. The sign may be the minus sign U+2212, which word processors put in.
/// Blanks around the number do not matter. The culture of the machine has no say.
/// </remarks>
public static class TypedNumber
{
    private const NumberStyles Style = NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent;

    // No number in decimal digits needs more; a longer text is not copied.
    private const int MostCharacters = 400;

    /// <summary>Reads a number.</summary>
    /// <param name="text">What was typed.</param>
    /// <param name="value">The number; 0 where the text is none.</param>
    /// <returns>What the text is; <paramref name="value"/> counts only for <see cref="TypedNumberForm.Number"/>.</returns>
    public static TypedNumberForm Read(ReadOnlySpan<char> text, out double value)
    {
        value = 0;
        text = text.Trim();
        if (text.Length is 0 or > MostCharacters)
        {
            return TypedNumberForm.NotANumber;
        }

        Span<char> plain = stackalloc char[text.Length];
        int marks = 0;
        for (int i = 0; i < text.Length; i++)
        {
            char c = text[i];
            marks += c is '.' or ',' ? 1 : 0;
            if (c is not ((>= '0' and <= '9') or '.' or ',' or '+' or '-' or '\u2212' or 'e' or 'E'))
            {
                return TypedNumberForm.NotANumber;
            }

            plain[i] = c switch
            {
                ',' => '.',
                '\u2212' => '-',
                _ => c,
            };
        }

        if (marks > 1)
        {
            return plain.ContainsAnyInRange('0', '9') ? TypedNumberForm.SeveralMarks : TypedNumberForm.NotANumber;
        }

        if (!double.TryParse(plain, Style, CultureInfo.InvariantCulture, out double read))
        {
            return TypedNumberForm.NotANumber;
        }

        if (!double.IsFinite(read))
        {
            return TypedNumberForm.TooLarge;
        }

        value = read;
        return TypedNumberForm.Number;
    }
}
