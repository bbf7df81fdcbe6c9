using System.Text;

namespace VibeCheck.Cli;

/// <summary>For texts that are several lines of our own making, such as what a shell may complete: each goes out as a line.</summary>
internal sealed class LinesWriter(TextWriter inner) : TextWriter
{
    public override Encoding Encoding => inner.Encoding;

    public override void Write(char value) => inner.Write(value);

    public override void Write(string? value) => inner.Write(value);

    public override void WriteLine(string? value)
    {
        foreach (string line in (value ?? "").Split(["\r\n", "\n"], StringSplitOptions.None))
        {
            inner.WriteLine(line);
        }
    }
}
