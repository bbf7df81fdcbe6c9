namespace VibeCheck.Reports.Formatting;

/// <summary>Text broken at spaces into lines.</summary>
internal static class WrappedLines
{
    /// <summary>The lines; only a line of one word may be longer than the width.</summary>
    /// <param name="text">The text.</param>
    /// <param name="width">Columns to keep within, prefixes included.</param>
    /// <param name="first">Text before the first line.</param>
    /// <param name="later">Text before the other lines.</param>
    /// <param name="spaces">Whether runs of spaces are kept (<see cref="StringSplitOptions.None"/>) or become one space.</param>
    internal static IEnumerable<string> Of(
        string text,
        int width,
        string first,
        string later,
        StringSplitOptions spaces = StringSplitOptions.RemoveEmptyEntries
    )
    {
        string line = first;
        int start = line.Length;
        foreach (string word in text.Split(' ', spaces))
        {
            if (line.Length > start && line.Length + 1 + word.Length > width)
            {
                yield return line.TrimEnd();
                line = later;
                start = line.Length;
            }

            line += (line.Length > start ? " " : "") + word;
        }

        yield return line.TrimEnd();
    }
}
