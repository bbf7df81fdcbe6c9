namespace VibeCheck.Reports.Formatting;

/// <summary>Which characters from a file or a path may be shown. Control characters can control a terminal, and bidirectional marks can
/// make one text look like another.</summary>
public static class ShowableText
{
    /// <summary>Whether a character is shown as it is. Line breaks and tabs are control characters
    /// too; code that writes several lines must allow them itself.</summary>
    public static bool IsShowable(char c) =>
        !char.IsControl(c)
        && c
            is not ('\u061C' or '\u200E' or '\u200F' or '\u2028' or '\u2029' or >= '\u202A' and <= '\u202E' or >= '\u2066' and <= '\u2069');

    /// <summary>The text as one line: each character that may not be shown becomes a question mark.</summary>
    public static string OneLine(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return text.All(IsShowable) ? text : string.Concat(text.Select(c => IsShowable(c) ? c : '?'));
    }
}
