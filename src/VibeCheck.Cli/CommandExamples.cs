using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace VibeCheck.Cli;

/// <summary>Examples of each command, below its help and in the manual page.</summary>
internal static class CommandExamples
{
    private static readonly Dictionary<string, (string Line, string Does)[]> _all = new()
    {
        ["vibecheck"] =
        [
            ("vibecheck demo", "compare a simulated sample job, to see everything once"),
            ("vibecheck compare before.csv after.csv", "two logs: did it help?"),
        ],
        ["compare"] =
        [
            ("vibecheck compare before.csv after.csv", "two logs without a job file"),
            ("vibecheck compare jobs/re-shim --report report.html --open", "the job file of a folder, as a page"),
        ],
        ["flight"] =
        [
            ("vibecheck flight log.csv", "one log with everything, no airframe file"),
            ("vibecheck flight imu.csv esc.csv --airframe airframe.toml --ambient 21", "logs of two recorders, with the full result"),
        ],
        ["read"] =
        [
            ("vibecheck read imu.csv esc.csv", "show how two logs are understood"),
            ("vibecheck read strange.csv --write-columns recorder.toml", "a columns file to check and fill in"),
        ],
        ["airframe"] =
        [
            ("vibecheck airframe hexa.toml --arms 6 --shape x --span 840 --bolts \"square 28.6\"", "from options"),
            ("vibecheck airframe hexa.toml --show", "draw it"),
        ],
        ["shims"] =
        [
            ("vibecheck shims survey.csv --airframe airframe.toml --ask", "type in the readings"),
            ("vibecheck shims survey.csv --airframe airframe.toml --card card.html", "the plan, and a card for the bench"),
        ],
        ["chart"] =
        [
            ("vibecheck chart --span 28.6", "tilt against shim for 28.6 mm"),
            ("vibecheck chart --span-in 1.125 --report chart.html --paper letter", "the same in inches, to print"),
        ],
        ["workbench"] =
        [
            ("vibecheck workbench jobs/re-shim", "open a job in the browser; an empty folder starts one"),
            ("vibecheck workbench --no-open --port 8080", "this folder; print the address only"),
        ],
        ["demo"] = [("vibecheck demo", "into the folder vibecheck-demo"), ("vibecheck demo try --open", "into try, and open the page")],
        ["completion"] =
        [
            ("source <(vibecheck completion bash)", "for this shell"),
            ("vibecheck completion fish > ~/.config/fish/completions/vibecheck.fish", "for every fish shell"),
        ],
        ["manual"] = [("vibecheck manual > vibecheck.1", "write the page"), ("man ./vibecheck.1", "read it")],
    };

    /// <summary>Examples of a command; empty where there are none.</summary>
    internal static IReadOnlyList<(string Line, string Does)> Of(Command command) =>
        _all.GetValueOrDefault(command is RootCommand ? "vibecheck" : command.Name) ?? [];

    /// <summary>Puts the examples below the help of every command.</summary>
    internal static void AddTo(RootCommand root, int width)
    {
        foreach (HelpOption help in root.Options.OfType<HelpOption>())
        {
            // The aliases with a slash would only clutter the completions of a shell.
            help.Aliases.Remove("/h");
            help.Aliases.Remove("/?");
            help.Action = new Help(new HelpAction { MaxWidth = width });
        }
    }

    private sealed class Help(HelpAction usual) : SynchronousCommandLineAction
    {
        // A request for help must not be answered with errors about the rest of the command line.
        public override bool ClearsParseErrors => true;

        public override int Invoke(ParseResult parseResult)
        {
            int code = usual.Invoke(parseResult);
            TextWriter output = parseResult.InvocationConfiguration.Output;
            IReadOnlyList<(string Line, string Does)> examples = Of(parseResult.CommandResult.Command);
            if (examples.Count > 0)
            {
                output.WriteLine("Examples:");
                foreach ((string line, string does) in examples)
                {
                    output.WriteLine($"  {line}");
                    output.WriteLine($"      {does}");
                }

                output.WriteLine();
            }

            return code;
        }
    }
}
