using Spectre.Console;

namespace VibeCheck.Cli;

/// <summary>Where a command writes: results to the output, everything else to the error side.</summary>
/// <param name="Output">Standard output, for JSON and plain text.</param>
/// <param name="Error">Standard error, for faults and notes.</param>
/// <param name="Input">Standard input, for questions.</param>
/// <param name="IsInteractive">Whether a person sits at the error side: only then a progress bar is drawn.</param>
internal sealed record Terminal(TextWriter Output, TextWriter Error, TextReader Input, bool IsInteractive)
{
    private IAnsiConsole? _console;

    /// <summary>The output as a console that colours on a terminal only, never under NO_COLOR. Made when first asked for: it costs start-up time.</summary>
    internal IAnsiConsole Console => _console ??= CreateConsole(Output, !System.Console.IsOutputRedirected && ReferenceEquals(Output, System.Console.Out));

    /// <summary>The terminal that the process was started in.</summary>
    internal static Terminal OfProcess() =>
        new(System.Console.Out, System.Console.Error, System.Console.In, !System.Console.IsErrorRedirected);

    /// <summary>The error side as a console, for progress.</summary>
    internal IAnsiConsole ErrorConsole() => CreateConsole(Error, IsInteractive);

    private static IAnsiConsole CreateConsole(TextWriter writer, bool isTerminal)
    {
        bool colour = isTerminal && string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR"));
        IAnsiConsole console = AnsiConsole.Create(new AnsiConsoleSettings
        {
            Ansi = isTerminal ? AnsiSupport.Detect : AnsiSupport.No,
            ColorSystem = colour ? ColorSystemSupport.Detect : ColorSystemSupport.NoColors,
            Interactive = isTerminal ? InteractionSupport.Detect : InteractionSupport.No,
            Out = new AnsiConsoleOutput(writer),
        });
        if (!isTerminal)
        {
            console.Profile.Width = 80;
        }

        return console;
    }
}
