using System.Text.RegularExpressions;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Cli.Tests;

/// <summary>Names, notes, headers and paths with control characters: none of these characters reaches the terminal.</summary>
public sealed partial class ControlCharacterTests : IDisposable
{
    // ECMA-48: colour (CSI m), window title (OSC 0, ended by BEL), the same in C1, a device control string; then carriage return,
    // backspace, delete, and bidirectional marks (Unicode Standard Annex 9).
    private const string Nasty = "\u001b[31m\u001b]0;owned\u0007\u009b2J\u009d0;x\u009c\u001bPq\u001b\\\r\b\u007f\u202e\u2066\u200f";
    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    private static void IsClean(CommandRun run, int code)
    {
        Assert.Equal(code, run.ExitCode);
        string said = run.Output + run.Error;
        Assert.Contains("?", said, StringComparison.Ordinal);
        Assert.All(
            said.ReplaceLineEndings("\n"),
            c => Assert.True(c is '\n' || ShowableText.IsShowable(c), $"U+{(int)c:X4} in the output")
        );
    }

    private static string Toml(string text) => string.Concat(text.Select(c => $"\\u{(int)c:x4}"));

    private string Airframe() =>
        _scratch.File(
            "airframe.toml",
            File.ReadAllText(Repository.Sample("reshim-hexa", "airframe.toml"))
                .Replace("Demo hexa", $"Demo {Toml(Nasty)} hexa", StringComparison.Ordinal)
                .Replace("\"M2\"", $"\"M2{Toml(Nasty)}\"", StringComparison.Ordinal)
        );

    private string Log(string name = "log.csv", string header = "") =>
        _scratch.File(
            name,
            $"time_ms,acc_x_mps2,acc_y_mps2,acc_z_mps2,other{header}\n"
                + string.Concat(Enumerable.Range(0, 500).Select(i => $"{2 * i},0.{i % 7},0.{i % 5},-9.8{i % 3},1\n"))
        );

    private string NastyName => OperatingSystem.IsWindows() ? throw new InvalidOperationException() : _scratch.Name($"a{Nasty}\n.csv");

    [Fact]
    public void In_the_header_of_a_log() =>
        IsClean(CommandRun.Of("read", Log(header: Nasty.Replace("\r", "", StringComparison.Ordinal))), ExitCode.Done);

    [Fact]
    public void In_the_name_of_a_file()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("this system has no such names");
        }

        IsClean(CommandRun.Of("read", NastyName), ExitCode.UnusableInput);
        Assert.Single(CommandRun.Of("read", NastyName).Error.TrimEnd().Split('\n'));
        File.Move(Log(), NastyName);
        IsClean(CommandRun.Of("read", NastyName), ExitCode.Done);
        IsClean(CommandRun.Of("read", NastyName, "--json", NastyName), ExitCode.WrongUsage);
        IsClean(CommandRun.Of("compare", NastyName), ExitCode.WrongUsage);
        IsClean(CommandRun.Of("compare", NastyName, NastyName), ExitCode.UnusableInput);
        IsClean(CommandRun.Of("shims", NastyName, "--airframe", Airframe()), ExitCode.UnusableInput);
    }

    [Fact]
    public void On_the_command_line()
    {
        IsClean(CommandRun.Of("chart", "--no" + Nasty), ExitCode.WrongUsage);
        IsClean(CommandRun.Of("fly" + Nasty), ExitCode.WrongUsage);
        IsClean(CommandRun.Of("read", Log(), "--time-unit", "s" + Nasty), ExitCode.UnusableInput);
    }

    [Fact]
    public void In_names_and_notes_of_a_survey_and_its_airframe()
    {
        string survey = _scratch.File(
            "survey.csv",
            "motor,when,where,direction,angle_deg,low_side,note\nM1,as-found,frame,across,0.0,level,\n"
                + $"M1,as-found,mount,across,0.4,right,warm {Nasty.Replace("\r", "", StringComparison.Ordinal)}\n"
        );
        IsClean(CommandRun.Of("shims", survey, "--airframe", Airframe()), ExitCode.Done);
        IsClean(
            CommandRun.Answering(
                "\n0.1 l # " + Nasty.Replace("\r", "", StringComparison.Ordinal) + "\nq\n",
                "shims",
                _scratch.Name("typed.csv"),
                "--airframe",
                Airframe(),
                "--ask"
            ),
            ExitCode.Done
        );
    }

    [Fact]
    public void In_the_names_of_a_flight_and_in_JSON_on_standard_output()
    {
        string[] flight =
        [
            "flight",
            "--imu",
            Repository.Sample("reshim-hexa", "before-1", "imu.csv"),
            "--esc",
            Repository.Sample("reshim-hexa", "before-1", "esc.csv"),
            "--airframe",
            Airframe(),
        ];
        IsClean(CommandRun.Of(flight), ExitCode.Done);
        IsClean(CommandRun.Of([.. flight, "--plain"]), ExitCode.Done);
        CommandRun json = CommandRun.Of([.. flight, "--json", "-"]);
        Assert.All(json.Output, c => Assert.True(c is '\n' || ShowableText.IsShowable(c), $"U+{(int)c:X4} in the output"));
        Assert.Equal("M2" + Nasty, json.Json().GetProperty("motors")[1].GetProperty("id").GetString());
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void On_a_real_terminal_only_colours_of_the_tool_itself()
    {
        if (!OperatingSystem.IsLinux() || ProgramRun.Shell(_scratch.Path, "script --version").ExitCode != 0)
        {
            Assert.Skip("needs the script command of util-linux");
        }

        string sample = Repository.Sample("reshim-hexa");
        File.Move(Log(), NastyName);
        Airframe();
        _scratch.File(
            "run.sh",
            $"{ProgramRun.Program} flight --imu '{sample}/before-1/imu.csv' --esc '{sample}/before-1/esc.csv' --airframe airframe.toml\n"
                + $"{ProgramRun.Program} read a*.csv\n{ProgramRun.Program} read a*.csv --json none/x\n{ProgramRun.Program} read "
                + $"--columns a*.csv nowhere.csv\n"
        );
        string said = ProgramRun
            .Shell(_scratch.Path, "script -qec 'bash run.sh' /dev/null </dev/null", ("TERM", "xterm-256color"), ("NO_COLOR", ""))
            .Output;
        Assert.Contains("M2?[31m?]0;owned?", said, StringComparison.Ordinal);
        Assert.Contains("\u001b[", said, StringComparison.Ordinal);
        Assert.DoesNotContain("\u001b]", said, StringComparison.Ordinal);

        // Colour and weight (SGR); codes of the progress bar (cursor movement, erasing, hiding); and the keypad mode that .NET itself sets.
        string left = OwnCodes()
            .Replace(said, "")
            .Replace("\r\n", "\n", StringComparison.Ordinal)
            .Replace("\r", "", StringComparison.Ordinal);
        Assert.All(left, c => Assert.True(c is '\n' || ShowableText.IsShowable(c), $"U+{(int)c:X4} in the output"));
    }

    [GeneratedRegex(@"\u001b\[[0-9;]*m(?<!\u001b\[31m)|\u001b\[\d*[ABCDGK]|\u001b\[\?(25|1)[lh]|\u001b[=>]")]
    private static partial Regex OwnCodes();
}
