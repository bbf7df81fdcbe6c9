using System.Text;

namespace VibeCheck.Logs.Columns;

/// <summary>Headers made safe to show.</summary>
internal static class HeaderWords
{
    private const int Longest = 80;

    /// <summary>Replaces control characters by blanks and cuts long texts. The result is plain text; pages still escape it.</summary>
    internal static string Plain(string header)
    {
        var plain = new StringBuilder();
        foreach (char c in header.Length > Longest ? header.AsSpan(0, Longest) : header)
        {
            plain.Append(
                char.IsControl(c)
                || char.IsSurrogate(c)
                || c is '\u2028' or '\u2029' or (>= '\u202a' and <= '\u202e') or (>= '\u2066' and <= '\u2069')
                    ? ' '
                    : c
            );
        }

        return header.Length > Longest ? plain + "..." : plain.ToString();
    }
}
