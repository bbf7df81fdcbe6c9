using System.CommandLine;
using System.CommandLine.Help;
using System.Globalization;
using System.Text;

namespace VibeCheck.Cli;

/// <summary><c>vibecheck manual</c>: the manual page, for man.</summary>
internal static class ManualCommand
{
    internal static Command Build(Terminal terminal)
    {
        Command command = new("manual", "Print the manual page (for man).");
        command.SetAction(parsed =>
        {
            terminal.Output.Write(PageOf(parsed.RootCommandResult.Command));
            return ExitCode.Done;
        });
        return command;
    }

    /// <summary>The page of a command and all below it, in the man macros.</summary>
    internal static string PageOf(Command root)
    {
        var page = new StringBuilder();
        page.Append(
            ".TH VIBECHECK 1 \"\" \"VibeCheck\" \"User commands\"\n.SH NAME\nvibecheck \\- vibration and motor alignment of multirotor "
                + "aircraft, before and after\n"
        );
        page.Append(".SH SYNOPSIS\n.B vibecheck\n.I command\n[options]\n.SH DESCRIPTION\n")
            .Append(Escaped(root.Description ?? ""))
            .Append('\n');
        page.Append(".SH COMMANDS\n");
        foreach (Command command in root.Subcommands.Where(c => !c.Hidden))
        {
            Append(page, command);
        }

        page.Append(".SH EXIT STATUS\n");
        foreach ((int code, string means) in ExitCode.All)
        {
            page.Append(CultureInfo.InvariantCulture, $".TP\n.B {code}\n{Escaped(means)}\n");
        }

        page.Append(".SH SAFETY\n")
            .Append(
                Escaped(
                    "Before any work on the aircraft: battery out, propellers off, motors cold. First hover after any work: low, "
                        + "short, away from people."
                )
            )
            .Append('\n');
        return page.ToString();
    }

    private static void Append(StringBuilder page, Command command)
    {
        string arguments = string.Concat(
            command.Arguments.Select(a =>
                $" {(a.Arity.MinimumNumberOfValues == 0 ? "[" + a.Name + "]" : a.Name)}{(a.Arity.MaximumNumberOfValues > 1 ? "..." : "")}"
            )
        );
        page.Append(
            CultureInfo.InvariantCulture,
            $".SS vibecheck {command.Name}{Escaped(arguments)}\n{Escaped(command.Description ?? "")}\n"
        );
        foreach (Argument argument in command.Arguments)
        {
            page.Append(CultureInfo.InvariantCulture, $".TP\n.I {Escaped(argument.Name)}\n{Escaped(argument.Description ?? "")}\n");
        }

        foreach (Option option in command.Options.Where(o => !o.Hidden && o is not HelpOption))
        {
            page.Append(
                CultureInfo.InvariantCulture,
                $".TP\n.B {Escaped(option.Name)}{(option.HelpName is string value ? $" \\fI{Escaped(value)}\\fR" : "")}"
                    + $"\n{Escaped(option.Description ?? "")}\n"
            );
        }

        page.Append(".PP\nExamples:\n");
        foreach ((string line, string does) in CommandExamples.Of(command))
        {
            page.Append(CultureInfo.InvariantCulture, $".TP\n.B {Escaped(line)}\n{Escaped(does)}\n");
        }
    }

    private static string Escaped(string text)
    {
        string escaped = text.ReplaceLineEndings(" ")
            .Replace("\\", "\\e", StringComparison.Ordinal)
            .Replace("-", "\\-", StringComparison.Ordinal);
        return escaped.StartsWith('.') || escaped.StartsWith('\'') ? "\\&" + escaped : escaped;
    }
}
