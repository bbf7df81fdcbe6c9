using System.Text;

namespace VibeCheck.Logs.Text;

/// <summary>Cells as they are shown in a message or looked up in a table.</summary>
internal static class CellText
{
    /// <summary>A unit without the brackets around it.</summary>
    internal static string StripBrackets(string cell) => cell.Trim().Trim('[', ']', '(', ')', '{', '}', '"').Trim();

    /// <summary>At most 60 characters of the text, without control characters.</summary>
    internal static string Cut(string text)
    {
        var clean = new StringBuilder();
        foreach (char c in text.Length > 60 ? text[..60] : text)
        {
            clean.Append(char.IsControl(c) ? ' ' : c);
        }

        return text.Length > 60 ? clean + "..." : clean.ToString();
    }
}
