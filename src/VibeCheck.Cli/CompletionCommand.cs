using System.CommandLine;

namespace VibeCheck.Cli;

/// <summary><c>vibecheck completion SHELL</c>: the script that lets a shell complete commands, options and files.</summary>
internal static class CompletionCommand
{
    // The scripts ask the program for completions, so they never go out of date; where it returns none, the shell completes file names.
    private const string Bash = """
        # bash: source <(vibecheck completion bash)
        _vibecheck() {
            local word="${COMP_WORDS[COMP_CWORD]}" IFS=$'\n'
            COMPREPLY=($(compgen -W "$(vibecheck "[suggest:${COMP_POINT}]" "${COMP_LINE}" 2>/dev/null)" -- "$word"))
        }
        complete -o default -F _vibecheck vibecheck
        """;

    private const string Zsh = """
        #compdef vibecheck
        # zsh: source <(vibecheck completion zsh), or save it as _vibecheck in a folder of $fpath
        _vibecheck() {
            local -a found
            found=("${(@f)$(vibecheck "[suggest:${CURSOR}]" "${BUFFER}" 2>/dev/null)}")
            found=(${found:#})
            (( ${#found} )) && compadd -- "${found[@]}"
            _files
        }
        compdef _vibecheck vibecheck
        """;

    private const string Fish = """
        # fish: vibecheck completion fish > ~/.config/fish/completions/vibecheck.fish
        function __vibecheck_complete
            set -l line (commandline -cp | string collect)
            vibecheck "[suggest:"(string length -- "$line")"]" "$line" 2>/dev/null
        end
        complete -c vibecheck -a '(__vibecheck_complete)'
        """;

    private const string PowerShell = """
        # PowerShell: vibecheck completion pwsh | Out-String | Invoke-Expression
        Register-ArgumentCompleter -Native -CommandName vibecheck -ScriptBlock {
            param($word, $line, $cursor)
            vibecheck "[suggest:$cursor]" "$line" 2>$null | Where-Object { $_ -like "$word*" } | ForEach-Object {
                [System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $_)
            }
        }
        """;

    internal static Command Build(Terminal terminal)
    {
        Argument<string> shell = new("SHELL") { Description = "bash, zsh, fish or pwsh." };
        shell.AcceptOnlyFromAmong("bash", "zsh", "fish", "pwsh");
        Command command = new("completion", "Print the script that lets a shell complete what you type.") { shell };
        command.SetAction(parsed =>
        {
            terminal.Output.Write(ScriptOf(parsed.GetRequiredValue(shell)).ReplaceLineEndings("\n") + "\n");
            return ExitCode.Done;
        });
        return command;
    }

    private static string ScriptOf(string shell) =>
        shell switch
        {
            "bash" => Bash,
            "zsh" => Zsh,
            "fish" => Fish,
            _ => PowerShell,
        };
}
