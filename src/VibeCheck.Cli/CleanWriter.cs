using System.Text;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Cli;

/// <summary>Writes all text for the terminal. It replaces control characters by question marks, so that the name of a file, header or path
/// cannot control the terminal. Write keeps line breaks and tabs. WriteLine writes one line, so that a name cannot look like a message of
/// its own; on a terminal narrower than the line it breaks the line between words.</summary>
/// <param name="inner">Where the text goes.</param>
/// <param name="width">Columns of the terminal; null where there is no terminal, and lines are not broken.</param>
internal sealed class CleanWriter(TextWriter inner, int? width = null) : TextWriter
{
    public override Encoding Encoding => inner.Encoding;

    public override void Write(char value) => inner.Write(value == '\n' ? value : Clean(value));

    public override void Write(char[] buffer, int index, int count) => Write(buffer.AsSpan(index, count));

    public override void Write(ReadOnlySpan<char> buffer) => Write(buffer.ToString());

    public override void Write(string? value)
    {
        if (value is not null)
        {
            inner.Write(
                value.All(c => c is '\n' || Clean(c) == c)
                    ? value
                    : string.Concat(value.Replace("\r\n", "\n", StringComparison.Ordinal).Select(c => c is '\n' ? c : Clean(c)))
            );
        }
    }

    public override void WriteLine() => inner.WriteLine();

    public override void WriteLine(string? value)
    {
        string line = string.Concat((value ?? "").Select(Clean));
        int indent = 2 + line.Length - line.TrimStart(' ').Length;
        while (width is int columns && line.Length > columns && line.LastIndexOf(' ', columns) is int at && at > indent)
        {
            inner.WriteLine(line[..at].TrimEnd());
            line = new string(' ', indent) + line[(at + 1)..].TrimStart(' ');
        }

        inner.WriteLine(line);
    }

    public override void Flush() => inner.Flush();

    private static char Clean(char c) => c is '\t' || ShowableText.IsShowable(c) ? c : '?';
}
