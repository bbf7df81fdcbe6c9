namespace VibeCheck.Cli.Tests;

/// <summary>Standard streams that are closed, full, pipes or files, with the program as a separate process.</summary>
[Trait("Category", "Slow")]
public sealed class StandardStreamsTests : IDisposable
{
    private const string Survey =
        "motor,when,where,direction,angle_deg,low_side\nM1,as-found,frame,across,0.0,level\nM1,as-found,mount,across,0.4,right\n";
    private readonly ScratchFolder _scratch = new();

    public StandardStreamsTests()
    {
        ProgramRun.RequireShell();
        _scratch.File(
            "log.csv",
            "time_ms,acc_x_mps2,acc_y_mps2,acc_z_mps2\n"
                + string.Concat(Enumerable.Range(0, 500).Select(i => $"{2 * i},0.{i % 7},0.{i % 5},-9.8{i % 3}\n"))
        );
        _scratch.File("survey.csv", Survey);
        File.Copy(Repository.Sample("reshim-hexa", "airframe.toml"), _scratch.Name("airframe.toml"));
    }

    public void Dispose() => _scratch.Dispose();

    private ProgramRun Run(string line, params (string, string)[] environment) => ProgramRun.Shell(_scratch.Path, line, environment);

    [Theory]
    [InlineData("v read log.csv >/dev/full", "No space left on device")]
    [InlineData("v --help >/dev/full", "No space left on device")]
    [InlineData("v chart --span 28 >/dev/full", "No space left on device")]
    [InlineData("v read log.csv --json - >/dev/full", "No space left on device")]
    [InlineData("v read log.csv --json /dev/full", "No space left on device")]
    [InlineData("v read log.csv >&-", "standard output is closed")]
    [InlineData("v read log.csv <&- >&-", "standard output is closed")]
    [InlineData("v chart --help >&-", "standard output is closed")]
    public void An_output_that_accepts_nothing_is_reported_and_is_no_fault_of_the_tool(string line, string says)
    {
        if (line.Contains("/dev/full", StringComparison.Ordinal) && !File.Exists("/dev/full"))
        {
            Assert.Skip("no full device on this system");
        }

        ProgramRun run = Run(line);
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
        Assert.Single(run.Error.TrimEnd().Split('\n'));
    }

    [Theory]
    [InlineData("v read nowhere.csv 2>&-", ExitCode.UnusableInput)]
    [InlineData("v read nowhere.csv <&- >&- 2>&-", ExitCode.UnusableInput)]
    [InlineData("v read log.csv 2>&-", ExitCode.Done)]
    [InlineData("v read log.csv >&- 2>&-", ExitCode.WrongUsage)]
    [InlineData("v chart 2>&-", ExitCode.WrongUsage)]
    public void Without_standard_error_the_exit_code_reports_the_fault(string line, int code) => Assert.Equal(code, Run(line).ExitCode);

    [Theory]
    [InlineData("v read /dev/stdin < log.csv")]
    [InlineData("v read /dev/fd/0 < log.csv")]
    public void A_log_that_is_sent_to_standard_input_as_a_file_is_read(string line)
    {
        ProgramRun run = Run(line);
        Assert.Equal((ExitCode.Done, ""), (run.ExitCode, run.Error));
        Assert.Contains("500 rows, 0 unusable", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("v read /dev/stdin </dev/null", "the file is empty")]
    [InlineData("cat log.csv | v read /dev/stdin", "this is a pipe or a device")]
    [InlineData("v read <(cat log.csv)", "this is a pipe or a device")]
    [InlineData("cat log.csv | v read /dev/stdin --write-columns c.toml", "this is a pipe or a device")]
    [InlineData("v read /dev/stdin <&-", "standard input is closed")]
    [InlineData("v shims survey.csv --airframe /dev/stdin <&-", "standard input is closed")]
    public void Standard_input_that_is_no_file_is_an_unusable_input_with_what_to_do(string line, string says)
    {
        ProgramRun run = Run(line);
        Assert.Equal(ExitCode.UnusableInput, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("v read log.csv --json -")]
    [InlineData("v read log.csv --json /dev/stdout")]
    [InlineData("v read log.csv --json /dev/fd/1")]
    [InlineData("v read log.csv --json /proc/self/fd/1")]
    [InlineData("v read log.csv --json /dev/stdout > out.json; cat out.json")]
    [InlineData("echo old > out.json; v read log.csv --json - >> out.json; tail -n +2 out.json")]
    [InlineData("v read log.csv --json /dev/stderr 2>&1 >/dev/null")]
    [InlineData("v read log.csv --json /dev/fd/3 3>&1 >/dev/null")]
    [InlineData("v read log.csv --json /dev/fd/3 3>out.json >/dev/null; cat out.json")]
    [InlineData("mkfifo pipe; v read log.csv --json pipe >/dev/null & cat pipe; wait; test -p pipe")]
    public void Json_goes_where_its_name_says_and_nothing_else_with_it(string line)
    {
        if (line.Contains("/proc/", StringComparison.Ordinal) && !OperatingSystem.IsLinux())
        {
            Assert.Skip("no /proc on this system");
        }

        ProgramRun run = Run(line);
        Assert.Equal((ExitCode.Done, ""), (run.ExitCode, run.Error));
        Assert.Equal("vibecheck.read/1", new CommandRun(0, run.Output, "").Json().GetProperty("schema").GetString());
    }

    [Theory]
    [InlineData("v read log.csv --json out.json > out.json", "would go to one place")]
    [InlineData("v shims survey.csv --airframe airframe.toml >> survey.csv", "survey.csv, which is read by this command")]
    [InlineData("v shims survey.csv --airframe airframe.toml >> ./airframe.toml", "airframe.toml, which is read by this command")]
    [InlineData(
        "v shims new.csv --airframe airframe.toml --ask --json typed.txt < typed.txt",
        "standard input, which is read by this command"
    )]
    public void Streams_that_are_files_count_as_files(string line, string says)
    {
        _scratch.File("typed.txt", "q\n");
        ProgramRun run = Run(line);
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
        Assert.Equal(Survey, File.ReadAllText(_scratch.Name("survey.csv")));
        Assert.Equal("q\n", File.ReadAllText(_scratch.Name("typed.txt")));
    }

    [Theory]
    [MemberData(nameof(AsksForColour))]
    public void Redirected_output_holds_no_codes_whatever_the_environment_asks_for(string name, string value) =>
        AssertPlain("v shims survey.csv --airframe airframe.toml; v --help; v fly 2>&1", "vibecheck", (name, value));

    [Fact]
    public void A_redirected_flight_holds_no_codes_even_where_the_environment_asks_for_them_in_every_way()
    {
        string sample = Repository.Sample("reshim-hexa");
        AssertPlain(
            $"v flight --imu '{sample}/before-1/imu.csv' --esc '{sample}/before-1/esc.csv' --airframe airframe.toml",
            "of hover the vibration from the rotors was",
            [.. AsksForColour.Select(a => a.Data)]
        );
    }

    /// <summary>Environment variables that ask programs to write colours into a pipe.</summary>
    public static TheoryData<string, string> AsksForColour { get; } =
        new()
        {
            { "FORCE_COLOR", "3" },
            { "CLICOLOR_FORCE", "1" },
            { "CLICOLOR", "1" },
            { "COLORTERM", "truecolor" },
            { "TERM", "xterm-256color" },
            { "GITHUB_ACTIONS", "true" },
            { "TF_BUILD", "True" },
            { "DOTNET_SYSTEM_CONSOLE_ALLOW_ANSI_COLOR_REDIRECTION", "1" },
        };

    private void AssertPlain(string line, string says, params (string, string)[] environment)
    {
        ProgramRun run = Run(line, environment);
        Assert.Contains(says, run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', run.Output + run.Error);
    }
}
