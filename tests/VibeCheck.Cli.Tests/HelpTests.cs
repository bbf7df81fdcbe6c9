using System.CommandLine;

namespace VibeCheck.Cli.Tests;

/// <summary>Help, completions and the manual page are made from the commands themselves.</summary>
public sealed class HelpTests
{
    public static TheoryData<string> Commands() => [.. Root().Subcommands.Select(c => c.Name)];

    [Theory]
    [MemberData(nameof(Commands))]
    public void The_help_of_a_command_has_two_examples_that_parse(string command)
    {
        string help = CommandRun.Of(command, "--help").Output;
        string[] examples =
        [
            .. help.Split("Examples:")[^1]
                .Split('\n')
                .Select(l => l.Trim())
                .Where(l => l.StartsWith("vibecheck ", StringComparison.Ordinal)),
        ];
        IReadOnlyList<(string Line, string Does)> all = CommandExamples.Of(Root().Subcommands.First(c => c.Name == command));
        Assert.Equal(2, all.Count);
        Assert.All(all, e => Assert.Contains(e.Line, help, StringComparison.Ordinal));
        Assert.All(examples, e => Assert.Empty(Root().Parse(e["vibecheck ".Length..].Split(" > ")[0]).Errors));
        Assert.All(
            help.Split('\n').SkipWhile(l => !l.StartsWith("Examples:", StringComparison.Ordinal)),
            l => Assert.True(l.Length <= 100, l)
        );
    }

    [Theory]
    [InlineData("vibecheck comp", "compare")]
    [InlineData("vibecheck flight --", "--airframe")]
    [InlineData("vibecheck completion ", "fish")]
    public void Completions_are_suggested_one_per_line(string line, string expected)
    {
        CommandRun run = CommandRun.Of($"[suggest:{line.Length}]", line);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Contains(expected, run.Output.ReplaceLineEndings("\n").Split('\n'));
    }

    [Theory]
    [InlineData("bash", "complete -o default -F _vibecheck vibecheck")]
    [InlineData("zsh", "compdef _vibecheck vibecheck")]
    [InlineData("fish", "complete -c vibecheck")]
    [InlineData("pwsh", "Register-ArgumentCompleter -Native -CommandName vibecheck")]
    public void Each_shell_gets_its_script(string shell, string line)
    {
        CommandRun run = CommandRun.Of("completion", shell);
        Assert.Equal((ExitCode.Done, ""), (run.ExitCode, run.Error));
        Assert.Contains(line, run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Bash_completes_with_the_script()
    {
        if (!File.Exists("/bin/bash"))
        {
            Assert.Skip("there is no bash on this machine");
        }

        // Runs the script with the path of the program instead of its name, as a shell would run it.
        string script = CommandRun.Of("completion", "bash").Output;
        string program = $"vibecheck() {{ dotnet '{Path.Combine(AppContext.BaseDirectory, "vibecheck.dll")}' \"$@\"; }}\n";
        const string Ask =
            "COMP_LINE='vibecheck comp'; COMP_POINT=14; COMP_WORDS=(vibecheck comp); COMP_CWORD=1; _vibecheck; printf '%s\\n' "
            + "\"${COMPREPLY[@]}\"\n";
        using var bash = System.Diagnostics.Process.Start(
            new System.Diagnostics.ProcessStartInfo("/bin/bash", ["--norc", "-c", program + script + Ask]) { RedirectStandardOutput = true }
        )!;
        string output = bash.StandardOutput.ReadToEnd();
        bash.WaitForExit();
        Assert.Contains("compare", output.Split('\n'));
        Assert.Contains("completion", output.Split('\n'));
    }

    [Theory]
    [InlineData("vibecheck comp", "compare")]
    [InlineData("vibecheck compare --re", "--report")]
    [InlineData("vibecheck completion ", "fish")]
    public void Fish_completes_with_the_script(string line, string expected)
    {
        if (!File.Exists("/usr/bin/fish"))
        {
            Assert.Skip("there is no fish on this machine");
        }

        string program = $"function vibecheck; dotnet '{Path.Combine(AppContext.BaseDirectory, "vibecheck.dll")}' $argv; end\n";
        string script = program + CommandRun.Of("completion", "fish").Output + $"complete -C '{line}'\n";
        using var fish = System.Diagnostics.Process.Start(
            new System.Diagnostics.ProcessStartInfo("/usr/bin/fish", ["--no-config", "-c", script]) { RedirectStandardOutput = true }
        )!;
        string output = fish.StandardOutput.ReadToEnd();
        fish.WaitForExit();
        Assert.Contains(expected, output.Split('\n'));
    }

    [Fact]
    public void The_manual_names_every_command_option_and_exit_code()
    {
        string page = CommandRun.Of("manual").Output;
        Assert.StartsWith(".TH VIBECHECK 1", page, StringComparison.Ordinal);
        foreach (Command command in Root().Subcommands)
        {
            Assert.Contains($".SS vibecheck {command.Name}", page, StringComparison.Ordinal);
            Assert.All(
                command.Options.Where(o => o.Name != "--help"),
                o => Assert.Contains(o.Name.Replace("-", "\\-", StringComparison.Ordinal), page, StringComparison.Ordinal)
            );
        }

        Assert.All(
            ExitCode.All,
            c => Assert.Contains(c.Means.Split(':')[0].Replace("-", "\\-", StringComparison.Ordinal), page, StringComparison.Ordinal)
        );
    }

    [Theory]
    [InlineData("compare", "a.csv", "b.csv", "--open")]
    [InlineData("flight", "a.csv", "--open", "--report", "-")]
    public void A_page_that_is_not_written_to_a_file_cannot_be_opened(params string[] args)
    {
        CommandRun run = CommandRun.Of(args);
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Contains("--open opens the page that --report writes. Add --report FILE.html.", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_file_that_is_written_is_named()
    {
        using var scratch = new ScratchFolder();
        CommandRun run = CommandRun.Of(
            "chart",
            "--span",
            "28.6",
            "--report",
            scratch.Name("chart.html"),
            "--json",
            scratch.Name("chart.json")
        );
        Assert.Equal(
            [$"Written: {scratch.Name("chart.html")}", $"Written: {scratch.Name("chart.json")}"],
            run.Error.ReplaceLineEndings("\n").TrimEnd().Split('\n')
        );
    }

    private static RootCommand Root()
    {
        using StringWriter output = new(),
            error = new();
        return VibeCheckApp.Build(new Terminal(output, error, TextReader.Null, isInteractive: false));
    }
}
