using System.Text.RegularExpressions;

namespace VibeCheck.Cli.Tests;

/// <summary>Runs docs/tutorial.md command by command in an empty folder; the output must contain the text blocks of the page.</summary>
public sealed partial class TutorialTests
{
    [Fact]
    [Trait("Category", "Slow")]
    public void Every_command_of_the_tutorial_runs_and_shows_what_the_page_says()
    {
        ProgramRun.RequireShell();
        using var scratch = new ScratchFolder();
        string page = File.ReadAllText(Path.Combine(Repository.Root, "docs", "tutorial.md")).ReplaceLineEndings("\n");
        string last = "";
        int commands = 0,
            shown = 0;
        foreach (Match block in Block().Matches(page))
        {
            string[] lines = [.. block.Groups["text"].Value.Split('\n', StringSplitOptions.RemoveEmptyEntries)];
            if (block.Groups["kind"].Value == "text")
            {
                shown += lines.Length;
                Assert.All(lines, line => Assert.Contains(line, last, StringComparison.Ordinal));
                continue;
            }

            foreach (
                string line in lines.Where(l => block.Groups["kind"].Length == 0 && l.StartsWith("vibecheck ", StringComparison.Ordinal))
            )
            {
                ProgramRun run = ProgramRun.Shell(scratch.Path, "v" + line["vibecheck".Length..]);
                Assert.True(run.ExitCode == 0, $"{line}: {run.ExitCode}\n{run.Error}");
                last = run.Output.ReplaceLineEndings(" ");
                commands++;
            }
        }

        Assert.True(commands >= 8, $"{commands} commands");
        Assert.True(shown >= 3, $"{shown} lines shown");
        Assert.All(
            (string[])["hexa.toml", "before.html", "card.html", "report.html"],
            name => Assert.True(File.Exists(scratch.Name(name)), name)
        );
    }

    [GeneratedRegex("^```(?<kind>\\w*)\n(?<text>.*?)^```$", RegexOptions.Singleline | RegexOptions.Multiline)]
    private static partial Regex Block();
}
