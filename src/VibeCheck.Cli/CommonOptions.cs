using System.CommandLine;

namespace VibeCheck.Cli;

/// <summary>Options that mean the same on every command. A new instance for each command.</summary>
internal static class CommonOptions
{
    internal static Option<string?> Json() =>
        new("--json")
        {
            Description = "Write the result as JSON to FILE; - for standard output (then nothing else is printed there).",
            HelpName = "FILE",
        };

    internal static Option<string?> Report() =>
        new("--report") { Description = "Write one self-contained page to FILE.html.", HelpName = "FILE.html" };

    internal static Option<bool> Open() => new("--open") { Description = "Open the page that --report writes." };

    internal static Option<bool> Plain() =>
        new("--plain") { Description = "Plain lines without colour or rules, for scripts and screen readers." };
}
