using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Parsing;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Cli;

/// <summary>The whole command line: commands, and the one place where faults become exit codes.</summary>
internal static class VibeCheckApp
{
    private const int MostHelpColumns = 110;

    internal static int Run(string[] args, Terminal terminal)
    {
        try
        {
            return Answer(args, terminal);
        }
        catch (OutputFaultException e)
        {
            // Also reached when the message about another fault could not be written.
            terminal.Error.WriteLine($"vibecheck: {e.Message}");
            return ExitCode.WrongUsage;
        }
    }

    private static int Answer(string[] args, Terminal terminal)
    {
        try
        {
            ParseResult parsed = Build(terminal).Parse(args);
            if (EmptyName(parsed) is string name)
            {
                terminal.Error.WriteLine($"vibecheck: {name} is empty. Give it a value, or leave it out.");
                return ExitCode.WrongUsage;
            }

            if (UnknownOption(parsed) is string option)
            {
                string command = parsed.CommandResult.Command.Name;
                terminal.Error.WriteLine(
                    $"vibecheck: {command} has no option {option}. vibecheck {command} --help lists its options; "
                        + $"a file of that name is ./{option}."
                );
                return ExitCode.WrongUsage;
            }

            if (!terminal.IsInputOpen && parsed.Tokens.FirstOrDefault(t => StandardStreams.IsInput(t.Value)) is Token closed)
            {
                throw new InputFaultException(
                    new InputFault(closed.Value, null, null, "standard input is closed", "Send a file to it, or name the file.")
                );
            }

            int code = parsed.Invoke(
                new InvocationConfiguration
                {
                    EnableDefaultExceptionHandler = false,
                    Output =
                        args is [string first, ..] && first.StartsWith("[suggest", StringComparison.Ordinal)
                            ? new LinesWriter(terminal.Output)
                            : terminal.Output,
                    Error = terminal.Error,
                }
            );
            return parsed.Errors.Count > 0 ? ExitCode.WrongUsage : code;
        }
        catch (InputFaultException e)
        {
            foreach (InputFault fault in e.Faults)
            {
                terminal.Error.WriteLine($"vibecheck: {fault}");
            }

            return ExitCode.UnusableInput;
        }
        catch (UsageException e)
        {
            terminal.Error.WriteLine($"vibecheck: {e.Message}");
            return ExitCode.WrongUsage;
        }
#pragma warning disable CA1031 // The outermost edge: a bug of ours must still end in one plain line and its own exit code.
        catch (Exception e) when (e is not OutputFaultException)
#pragma warning restore CA1031
        {
            terminal.Error.WriteLine($"vibecheck: a fault of the tool itself: {e.GetType().Name}: {e.Message}");
            terminal.Error.WriteLine(
                "Please report it with the command and, if you may, the files. Set VIBECHECK_TRACE=1 to see where it happened."
            );
            if (Environment.GetEnvironmentVariable("VIBECHECK_TRACE") == "1")
            {
                terminal.Error.Write($"{e}\n");
            }

            return ExitCode.OwnFault;
        }
    }

    /// <summary>An option or argument with an empty text, most often from an unset variable of a script; null where there is
    /// none.</summary>
    private static string? EmptyName(ParseResult parsed) =>
        parsed
            .CommandResult.Children.Where(c => c.Tokens.Any(t => string.IsNullOrWhiteSpace(t.Value)))
            .Select(c =>
                c switch
                {
                    OptionResult option => option.Option.Name,
                    ArgumentResult argument => argument.Argument.Name,
                    _ => null,
                }
            )
            .FirstOrDefault(n => n is not null);

    /// <summary>A word that looks like an option, was parsed as a file, and is no existing file; null where there is none.</summary>
    /// <remarks>Where a command takes any number of files, the parser takes every word as a file, including mistyped options and those of
    /// another command. After "--" every word is a name.</remarks>
    private static string? UnknownOption(ParseResult parsed) =>
        parsed.Action is HelpAction || parsed.Tokens.Any(t => t.Type is TokenType.DoubleDash or TokenType.Directive)
            ? null
            : parsed
                .CommandResult.Children.OfType<ArgumentResult>()
                .SelectMany(a => a.Tokens)
                .Select(t => t.Value)
                .FirstOrDefault(name => name is ['-', _, ..] && !Path.Exists(name));

    internal static RootCommand Build(Terminal terminal)
    {
        RootCommand root = new("Did shimming the motor mounts help? Reads flight logs (IMU and ESC, CSV) and a gauge survey.")
        {
            CompareCommand.Build(terminal),
            FlightCommand.Build(terminal),
            AirframeCommand.Build(terminal),
            ShimsCommand.Build(terminal),
            ChartCommand.Build(terminal),
            WorkbenchCommand.Build(terminal),
            DemoCommand.Build(terminal),
            ReadCommand.Build(terminal),
            CompletionCommand.Build(terminal),
            ManualCommand.Build(terminal),
        };
        CommandExamples.AddTo(root, terminal.IsOutputTerminal ? terminal.Width : MostHelpColumns);
        return root;
    }
}
