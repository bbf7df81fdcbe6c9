using System.Globalization;
using System.Text;

namespace VibeCheck.Cli.Tests;

/// <summary>A log with unclear headers: a user at the terminal is asked, a script gets a file to fill in.</summary>
public sealed class ColumnQuestionTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public void A_person_is_asked_whether_six_columns_are_commands()
    {
        string log = _scratch.File("u.csv", Log("time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,u1,u2,u3,u4,u5,u6\n"));
        (int code, string output, string error) = Asked("y\n", "read", log);
        Assert.Equal(ExitCode.Done, code);
        Assert.Contains(
            "'u1' to 'u6': 6 similar columns between 0 and 1. These look like commands: M1 to M6? (y/n)",
            error,
            StringComparison.Ordinal
        );
        Assert.Contains("M6 command", output, StringComparison.Ordinal);
        Assert.DoesNotContain("M6 command", Asked("n\n", "read", log).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_script_gets_a_columns_file_with_numbers_values_and_guesses()
    {
        string log = _scratch.File("bare.csv", Log(""));
        CommandRun refused = CommandRun.Of("read", log);
        Assert.Equal(ExitCode.UnusableInput, refused.ExitCode);
        Assert.Contains($"vibecheck read {log} --write-columns columns.toml", refused.Error, StringComparison.Ordinal);

        CommandRun written = CommandRun.Of("read", log, "--write-columns", _scratch.Name("columns.toml"));
        Assert.Equal(ExitCode.UnusableInput, written.ExitCode);
        Assert.Contains("columns.toml", written.Error, StringComparison.Ordinal);
        CommandRun read = CommandRun.Of("read", log, "--columns", _scratch.Name("columns.toml"));
        Assert.Equal(ExitCode.Done, read.ExitCode);
        Assert.Contains("M6 command", read.Output, StringComparison.Ordinal);
    }

    private static (int Code, string Output, string Error) Asked(string typed, params string[] args)
    {
        using StringWriter output = new(),
            error = new();
        using var input = new StringReader(typed);
        int code = VibeCheckApp.Run(args, new Terminal(output, error, input, isInteractive: true) { CanAsk = true });
        return (code, output.ToString(), error.ToString());
    }

    private static string Log(string header)
    {
        var text = new StringBuilder(header);
        for (int i = 0; i < 3000; i++)
        {
            double t = i / 500.0;
            text.Append(
                CultureInfo.InvariantCulture,
                $"{t:F3},{2 * Math.Sin(250 * t):F3},{2 * Math.Cos(250 * t):F3},{-9.8 + Math.Sin(260 * t):F3}"
            );
            for (int m = 1; m <= 6; m++)
            {
                text.Append(CultureInfo.InvariantCulture, $",{0.5 + 0.02 * m + 0.05 * Math.Sin(12 * t + m):F3}");
            }

            text.Append('\n');
        }

        return text.ToString();
    }
}
