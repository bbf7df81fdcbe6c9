using System.Text;

namespace VibeCheck.Cli;

/// <summary>For texts of several lines made by the program, such as completions for a shell: each is written as a line.</summary>
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
