using Spectre.Console;
using Spectre.Console.Rendering;

namespace VibeCheck.Cli;

/// <summary>A console that writes only the text: no colour or other code gets into a file or pipe, whatever the environment variables
/// request.</summary>
internal sealed class UncolouredConsole(IAnsiConsole inner, TextWriter writer) : IAnsiConsole
{
    public Profile Profile => inner.Profile;

    public IAnsiConsoleCursor Cursor => inner.Cursor;

    public IAnsiConsoleInput Input => inner.Input;

    public IExclusivityMode ExclusivityMode => inner.ExclusivityMode;

    public RenderPipeline Pipeline => inner.Pipeline;

    public void Clear(bool home)
    {
        // A file has no screen.
    }

    public void WriteAnsi(Action<AnsiWriter> action)
    {
        // These are only control codes.
    }

    public void Write(IRenderable renderable)
    {
        foreach (Segment segment in renderable.GetSegments(this).Where(s => !s.IsControlCode))
        {
            writer.Write(segment.Text);
        }
    }
}
