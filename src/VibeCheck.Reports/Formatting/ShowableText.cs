namespace VibeCheck.Reports.Formatting;

/// <summary>Which characters out of a file or a path may be shown. Control characters steer a terminal, and marks that turn the
/// direction of writing make a text show as another.</summary>
public static class ShowableText
{
    /// <summary>Whether a character is shown as it is. Line breaks and tabs are control characters
    /// too; code that writes whole lines must allow them.</summary>
    public static bool IsShowable(char c) =>
        !char.IsControl(c)
        && c
            is not ('\u061C' or '\u200E' or '\u200F' or '\u2028' or '\u2029' or >= '\u202A' and <= '\u202E' or >= '\u2066' and <= '\u2069');

    /// <summary>The text as one line without anything that steers a terminal: a question mark stands for each such character.</summary>
    public static string OneLine(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return text.All(IsShowable) ? text : string.Concat(text.Select(c => IsShowable(c) ? c : '?'));
    }
}
