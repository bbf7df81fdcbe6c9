using Spectre.Console;
using VibeCheck.Reports.Files;

namespace VibeCheck.Cli;

/// <summary>Where a command writes: results to standard output, everything else to standard error.</summary>
/// <param name="output">Standard output.</param>
/// <param name="error">Standard error.</param>
/// <param name="input">Standard input, for questions.</param>
/// <param name="isInteractive">Whether standard error is a terminal: only then a progress bar is drawn.</param>
internal sealed class Terminal(TextWriter output, TextWriter error, TextReader input, bool isInteractive)
{
    /// <summary>Number of columns where it is unknown.</summary>
    internal const int UsualWidth = 80;

    private const int LeastWidth = 45;

    private IAnsiConsole? _console;
    private CleanWriter? _cleanOutput,
        _cleanError;

    /// <summary>Standard output, for plain text; control characters are replaced.</summary>
    internal TextWriter Output => _cleanOutput ??= new CleanWriter(output, IsOutputTerminal ? Width : null);

    /// <summary>Standard error, for faults and notes; control characters are replaced.</summary>
    internal TextWriter Error => _cleanError ??= new CleanWriter(error, IsInteractive ? Width : null);

    /// <summary>Standard input, for questions.</summary>
    internal TextReader Input { get; } = input;

    /// <summary>Whether standard error is a terminal.</summary>
    internal bool IsInteractive { get; } = isInteractive;

    /// <summary>Whether the process was started with a standard input.</summary>
    internal bool IsInputOpen { get; init; } = true;

    /// <summary>Whether the output is a terminal, which shows colours.</summary>
    internal bool IsOutputTerminal { get; init; }

    /// <summary>Whether standard input is a terminal too, so that the user can be asked.</summary>
    internal bool CanAsk { get; init; }

    /// <summary>Columns for text: those of the terminal, at least 45; 80 where the output is not a terminal.</summary>
    internal int Width { get; init; } = UsualWidth;

    /// <summary>Files that output and error were redirected to.</summary>
    internal IReadOnlyList<FilePlace> Redirected { get; init; } = [];

    /// <summary>File that the input comes from; null for anything else.</summary>
    internal FilePlace? RedirectedInput { get; init; }

    /// <summary>The output as a console with colours on a terminal only, never under NO_COLOR. Created on first use, because it costs
    /// start-up time.</summary>
    internal IAnsiConsole Console =>
        _console ??= IsOutputTerminal ? CreateConsole(output) : new UncolouredConsole(CreateConsole(Output, Width), Output);

    /// <summary>Standard error as a console, for progress on a terminal.</summary>
    internal IAnsiConsole ErrorConsole() => CreateConsole(error);

    /// <summary>Columns of the system's terminal, within reason.</summary>
    internal static int WidthOfConsole()
    {
        try
        {
            return System.Console.WindowWidth is > 0 and int columns ? Math.Max(LeastWidth, columns) : UsualWidth;
        }
        catch (Exception e) when (e is IOException or PlatformNotSupportedException)
        {
            return UsualWidth;
        }
    }

    private static IAnsiConsole CreateConsole(TextWriter writer, int? width = null)
    {
        bool isTerminal = width is null,
            colour = isTerminal && string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR"));
        IAnsiConsole console = AnsiConsole.Create(
            new AnsiConsoleSettings
            {
                Ansi = isTerminal ? AnsiSupport.Detect : AnsiSupport.No,
                ColorSystem = colour ? ColorSystemSupport.Detect : ColorSystemSupport.NoColors,
                Interactive = isTerminal ? InteractionSupport.Detect : InteractionSupport.No,
                Enrichment = new ProfileEnrichment { UseDefaultEnrichers = false },
                Out = new AnsiConsoleOutput(writer),
            }
        );
        console.Profile.Width = width ?? console.Profile.Width;
        return console;
    }
}
