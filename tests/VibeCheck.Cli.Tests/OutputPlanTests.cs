namespace VibeCheck.Cli.Tests;

/// <summary>No output overwrites a file that the command reads, whatever its name, and no two outputs go to one path. The exit code is 2,
/// and all files are unchanged.</summary>
public sealed class OutputPlanTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();
    private readonly Dictionary<string, string> _files = [];

    public OutputPlanTests()
    {
        Directory.CreateDirectory(_scratch.Name("f/before"));
        Add(
            "f/before/imu.csv",
            "time_ms,acc_x_mps2,acc_y_mps2,acc_z_mps2\n"
                + string.Concat(Enumerable.Range(0, 500).Select(i => $"{2 * i},0.{i % 7},0.{i % 5},-9.8{i % 3}\n"))
        );
        Add("f/after.csv", "not read by these tests\n");
        Add("f/esc.csv", "not read by these tests\n");
        Add("f/columns.toml", "[[column]]\nheader = \"time_ms\"\nis = \"time\"\nunit = \"ms\"\n");
        Add("f/flight-columns.toml", "[[column]]\nheader = \"time_ms\"\nis = \"time\"\nunit = \"ms\"\n");
        Add("f/airframe.toml", File.ReadAllText(Repository.Sample("reshim-hexa", "airframe.toml")));
        Add(
            "f/survey.csv",
            "motor,when,where,direction,angle_deg,low_side\nM1,as-found,frame,across,0.0,level\nM1,as-found,mount,across,0.4,right\n"
        );
        Add(
            "f/last.csv",
            "motor,when,where,direction,angle_deg,low_side\nM1,as-left,frame,across,0.0,level\nM1,as-left,mount,across,0.0,level\n"
        );
        Add(
            "f/job.toml",
            """
            airframe = "airframe.toml"
            survey = "survey.csv"
            columns = "columns.toml"
            [[before]]
            imu = "before/imu.csv"
            esc = "esc.csv"
            columns = "flight-columns.toml"
            [[after]]
            imu = "after.csv"
            """
        );
        Add(
            "f/history.toml",
            """
            airframe = "airframe.toml"
            [[stage]]
            name = "as built"
            date = "2026-05-01"
            [[stage.flight]]
            imu = "before/imu.csv"
            [[stage]]
            name = "shimmed"
            date = "2026-05-02"
            [[stage.flight]]
            imu = "after.csv"
            """
        );
    }

    public static TheoryData<string> Lines()
    {
        const string Flight = "flight --imu f/before/imu.csv --esc f/esc.csv --airframe f/airframe.toml --columns f/columns.toml";
        const string Shims = "shims f/survey.csv --airframe f/airframe.toml --last f/last.csv";
        return
        [
            .. Of(
                "compare f/job.toml",
                "--json --report",
                "job.toml airframe.toml survey.csv columns.toml flight-columns.toml before/imu.csv esc.csv after.csv"
            ),
            .. Of("compare f/history.toml", "--json --report", "history.toml airframe.toml before/imu.csv after.csv"),
            .. Of("compare f", "--json --report", "job.toml before/imu.csv"),
            .. Of(Flight, "--json --report", "before/imu.csv esc.csv airframe.toml columns.toml"),
            .. Of("read f/before/imu.csv --columns f/columns.toml", "--json --write-columns", "before/imu.csv columns.toml"),
            .. Of(Shims, "--json --card", "survey.csv airframe.toml last.csv"),
            "shims f/airframe.toml --airframe f/airframe.toml --ask",
            "shims f/last.csv --airframe f/airframe.toml --last f/last.csv --ask",
        ];
    }

    private static IEnumerable<string> Of(string command, string outputs, string inputs) =>
        outputs.Split(' ').SelectMany(o => inputs.Split(' ').Select(i => $"{command} {o} f/{i}"));

    public void Dispose() => _scratch.Dispose();

    private void Add(string name, string content) => _files[_scratch.File(name, content)] = content;

    private CommandRun Run(string line) =>
        CommandRun.Of([
            .. line.Split(' ')
                .Select(w =>
                    w.Contains("f/", StringComparison.Ordinal) || w == "f" || w.StartsWith('@') ? _scratch.Name(w.TrimStart('@')) : w
                ),
        ]);

    private void IsRefused(CommandRun run, string says)
    {
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Empty(run.Output);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
        Assert.All(_files, f => Assert.Equal(f.Value, File.ReadAllText(f.Key)));
    }

    [Theory]
    [MemberData(nameof(Lines))]
    public void An_output_that_is_an_input_is_refused(string line) => IsRefused(Run(line), "read by this command");

    [Theory]
    [InlineData("f/before/../before/./imu.csv")]
    [InlineData("f//before//imu.csv")]
    [InlineData("@soft.html")]
    [InlineData("@soft-of-soft.html")]
    [InlineData("@hard.html")]
    [InlineData("@by-folder/before/imu.csv")]
    public void An_output_that_is_an_input_under_another_name_is_refused(string name)
    {
        if (OperatingSystem.IsWindows() && name.StartsWith('@'))
        {
            Assert.Skip("links need rights on this system");
        }

        if (!OperatingSystem.IsWindows())
        {
            File.CreateSymbolicLink(_scratch.Name("soft.html"), "f/before/imu.csv");
            File.CreateSymbolicLink(_scratch.Name("soft-of-soft.html"), _scratch.Name("soft.html"));
            File.CreateSymbolicLink(_scratch.Name("by-folder"), "f");
            Assert.Equal(0, ProgramRun.Shell(_scratch.Path, "ln f/before/imu.csv hard.html").ExitCode);
        }

        IsRefused(Run($"compare f/job.toml --report {name}"), "read by this command");
        IsRefused(Run($"read f/before/imu.csv --write-columns {name}"), "read by this command");
    }

    [Fact]
    public void An_input_that_is_a_link_to_the_output_is_found_too()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("links need rights on this system");
        }

        File.CreateSymbolicLink(_scratch.Name("link.csv"), "f/before/imu.csv");
        IsRefused(Run("read @link.csv --json f/before/imu.csv"), "read by this command");
    }

    [Fact]
    public void An_output_that_is_an_input_in_another_letter_case_is_refused_where_the_disk_ignores_case()
    {
        string other = _scratch.Name("f/BEFORE/IMU.CSV");
        CommandRun run = Run("read f/before/imu.csv --json f/BEFORE/IMU.CSV");
        IsRefused(run, File.Exists(other) ? "read by this command" : "no such folder");
    }

    [Theory]
    [InlineData("read f/before/imu.csv --json @a.out --write-columns @a.out")]
    [InlineData("read f/before/imu.csv --json @a.out --write-columns @A.Out")]
    [InlineData("read f/before/imu.csv --json - --write-columns -")]
    [InlineData("compare f/job.toml --json @a.out --report f/../a.out")]
    [InlineData("compare f/job.toml --json - --report -")]
    [InlineData("chart --span 28 --json @a.out --report @a.out")]
    [InlineData("shims f/survey.csv --airframe f/airframe.toml --card @a.out --json @a.out")]
    [InlineData("shims f/survey.csv --airframe f/airframe.toml --ask --card f/survey.csv")]
    public void Two_outputs_to_one_place_are_refused(string line)
    {
        IsRefused(Run(line), "would go to one place");
        Assert.False(File.Exists(_scratch.Name("a.out")));
    }

    [Theory]
    [InlineData("read f/before/imu.csv --json f/none/a.json", "there is no such folder")]
    [InlineData("read f/before/imu.csv --json f/before", "it is a folder")]
    [InlineData("read f/before/imu.csv --write-columns f/new/", "this is the name of a folder")]
    [InlineData("compare f/job.toml --report f/none/a.html", "there is no such folder")]
    [InlineData("shims f/survey.csv --airframe f/airframe.toml --card f/none/a.html", "there is no such folder")]
    [InlineData("shims f/none/new.csv --airframe f/airframe.toml --ask", "there is no such folder")]
    [InlineData("shims f/before --airframe f/airframe.toml --ask", "it is a folder")]
    [InlineData("shims - --airframe f/airframe.toml --ask", "not a file that readings can be saved to")]
    [InlineData("chart --span 28 --report f/none/a.html", "there is no such folder")]
    public void An_impossible_output_path_is_reported_before_anything_is_read(string line, string says) => IsRefused(Run(line), says);

    [Theory]
    [InlineData("compare f/job.toml --json f/other.toml", "is not JSON")]
    [InlineData("compare f/job.toml --report f/other.toml", "is not a page")]
    [InlineData("flight --imu f/before/imu.csv --airframe f/airframe.toml --json f/after.csv", "is not JSON")]
    [InlineData("flight --imu f/before/imu.csv --airframe f/airframe.toml --tables f/tables", "is not a table")]
    [InlineData("read f/before/imu.csv --json f/after.csv", "is not JSON")]
    [InlineData("read f/before/imu.csv --write-columns f/job.toml", "is not a columns file")]
    [InlineData("read f/before/imu.csv --write-columns f/after.csv", "is not a columns file")]
    [InlineData("shims f/survey.csv --airframe f/airframe.toml --card f/after.csv", "is not a page")]
    [InlineData("chart --span 28 --report f/after.csv", "is not a page")]
    [InlineData("chart --span 28 --json f/job.toml", "is not JSON")]
    public void A_file_that_is_no_earlier_result_is_not_overwritten_although_the_command_does_not_read_it(string line, string says)
    {
        Directory.CreateDirectory(_scratch.Name("f/tables"));
        Add("f/other.toml", "airframe = \"airframe.toml\"\n");
        Add("f/tables/motors.csv", "name,phone\nof the workshop,1234\n");
        IsRefused(Run(line), says);
    }

    [Fact]
    public void An_earlier_result_and_an_empty_file_are_replaced()
    {
        string page = _scratch.File("chart.html", ""),
            json = _scratch.Name("chart.json");
        for (int run = 0; run < 2; run++)
        {
            Assert.Equal(ExitCode.Done, CommandRun.Of("chart", "--span", "28", "--report", page, "--json", json).ExitCode);
            Assert.StartsWith("<", File.ReadAllText(page), StringComparison.Ordinal);
            Assert.StartsWith("{", File.ReadAllText(json), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_name_that_is_empty_is_wrong_usage()
    {
        string log = _scratch.Name("f/before/imu.csv");
        string[][] lines =
        [
            ["read", ""],
            ["read", log, "--json", ""],
            ["read", log, "--columns", " "],
            ["compare", ""],
            ["chart", "--span", "28", "--report", ""],
            ["flight", "--imu", "", "--airframe", "a"],
            ["flight", "--imu", log, "--airframe", ""],
            ["shims", "", "--airframe", "a"],
            ["demo", ""],
        ];
        Assert.All(lines, line => IsRefused(CommandRun.Of(line), "is empty"));
    }

    [Fact]
    public void Both_outputs_may_be_thrown_away()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("no /dev/null on this system");
        }

        Assert.Equal(ExitCode.Done, CommandRun.Of("chart", "--span", "28", "--json", "/dev/null", "--report", "/dev/null").ExitCode);
    }

    [Theory]
    [InlineData("report.html", "my page")]
    [InlineData("before-1/imu.csv", "my log")]
    public void The_demo_refuses_before_it_writes_anything(string name, string content)
    {
        Directory.CreateDirectory(_scratch.Name("demo/before-1"));
        _scratch.File("demo/" + name, content);
        IsRefused(CommandRun.Of("demo", _scratch.Name("demo")), "is not overwritten");
        Assert.Equal([_scratch.Name("demo/" + name)], Directory.GetFiles(_scratch.Name("demo"), "*", SearchOption.AllDirectories));
        Assert.Equal(content, File.ReadAllText(_scratch.Name("demo/" + name)));
    }

    [Theory]
    [InlineData("job.toml")]
    [InlineData("report.html")]
    [InlineData("after-1/imu.csv")]
    public void The_demo_does_not_write_JSON_over_its_own_files(string name)
    {
        CommandRun run = CommandRun.Of("demo", _scratch.Name("demo"), "--json", _scratch.Name("demo/" + name));
        IsRefused(run, "--json");
        Assert.False(File.Exists(_scratch.Name("demo/job.toml")));
    }
}
