using System.Text;

namespace VibeCheck.Cli;

/// <summary>Standard error. Where it is full or closed, only the exit code is left to report the fault.</summary>
internal sealed class QuietWriter(TextWriter inner) : TextWriter
{
    public override Encoding Encoding => inner.Encoding;

    public override void Write(char value) => Quiet(() => inner.Write(value));

    public override void Write(char[] buffer, int index, int count) => Quiet(() => inner.Write(buffer, index, count));

    public override void Write(string? value) => Quiet(() => inner.Write(value));

    public override void WriteLine(string? value) => Quiet(() => inner.WriteLine(value));

    public override void Flush() => Quiet(inner.Flush);

    private static void Quiet(Action write)
    {
        try
        {
            write();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ObjectDisposedException)
        {
            // See the summary of the class.
        }
    }
}
