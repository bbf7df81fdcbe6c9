namespace VibeCheck.Cli.Tests;

/// <summary>For every unusable input the user gets exit code 3 and one message with place and advice, never a stack trace.</summary>
public sealed class BadInputTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    private static string Airframe => Repository.Sample("reshim-hexa", "airframe.toml");

    private static string Esc => Repository.Sample("reshim-hexa", "before-1", "esc.csv");

    private static void IsToldAsFault(CommandRun run, params string[] mentions)
    {
        Assert.Equal(ExitCode.UnusableInput, run.ExitCode);
        Assert.Empty(run.Output);
        Assert.Single(run.Error.TrimEnd().Split('\n'));
        Assert.DoesNotContain("   at ", run.Error, StringComparison.Ordinal);
        Assert.All(mentions, m => Assert.Contains(m, run.Error, StringComparison.Ordinal));
    }

    private static CommandRun Flight(string imu, string? airframe = null) =>
        CommandRun.Of("flight", "--imu", imu, "--airframe", airframe ?? Airframe);

    [Fact]
    public void A_missing_log_is_named() => IsToldAsFault(Flight(_scratch.Name("nowhere.csv")), "nowhere.csv");

    [Fact]
    public void A_log_without_a_name_is_wrong_usage() => Assert.Equal(ExitCode.WrongUsage, Flight("").ExitCode);

    [Theory]
    [InlineData("read", "imu.csv", "--airframe", "airframe.toml")]
    [InlineData("flight", "imu.csv", "--airfarme")]
    [InlineData("compare", "before.csv", "after.csv", "--repot", "page.html")]
    public void An_option_that_the_command_lacks_is_wrong_usage_and_not_a_missing_file(params string[] args)
    {
        CommandRun run = CommandRun.Of(args);
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        string option = args.First(a => a.StartsWith("--", StringComparison.Ordinal));
        Assert.Contains($"{args[0]} has no option {option}", run.Error, StringComparison.Ordinal);
        Assert.Single(run.Error.TrimEnd().Split('\n'));
    }

    [Fact]
    public void After_two_dashes_a_word_is_a_file_whatever_it_looks_like() =>
        IsToldAsFault(CommandRun.Of("read", "--", "--odd.csv"), "--odd.csv", "there is no such file");

    [Fact]
    public void An_empty_log_is_named() => IsToldAsFault(Flight(_scratch.File("empty.csv", "")), "empty.csv", "empty");

    [Fact]
    public void A_header_without_time_is_reported_with_its_line() =>
        IsToldAsFault(Flight(_scratch.File("a.csv", "acc_x_mps2,acc_y_mps2,acc_z_mps2\n0,0,-9.8\n0,0,-9.8\n")), "a.csv: line 1", "time");

    [Fact]
    public void A_log_that_never_flies_has_no_hover()
    {
        string rows = string.Concat(Enumerable.Range(0, 5000).Select(i => $"{i},0.0{i % 3},0.0{i % 7},-9.8{i % 5}\n"));
        IsToldAsFault(
            Flight(_scratch.File("bench.csv", "time_ms,acc_x_mps2,acc_y_mps2,acc_z_mps2\n" + rows)),
            "bench.csv",
            "no hover was found in this log: the "
        );
    }

    [Theory]
    [InlineData("0")]
    [InlineData("1,x")]
    [InlineData("2.5")]
    public void An_invalid_order_is_reported_with_an_example_of_a_valid_one(string orders)
    {
        CommandRun run = CommandRun.Of("flight", "--imu", "a.csv", "--airframe", Airframe, "--orders", orders);
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Contains("is not an order. Give whole numbers from 1", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void An_airframe_without_motors_is_reported() =>
        IsToldAsFault(
            Flight(Repository.Sample("reshim-hexa", "before-1", "imu.csv"), _scratch.File("bare.toml", "name = \"bare\"\n")),
            "bare.toml",
            "motor"
        );

    [Fact]
    public void A_telemetry_file_given_as_imu_is_reported() => IsToldAsFault(Flight(Esc), "esc.csv", "--esc");

    [Fact]
    public void A_folder_in_place_of_a_log_is_reported() => IsToldAsFault(Flight(_scratch.Path), "vibecheck");

    [Fact]
    [Trait("Category", "Slow")]
    public void A_result_that_cannot_be_written_is_reported_and_leaves_no_file()
    {
        CommandRun run = CommandRun.Of(
            "flight",
            "--imu",
            Repository.Sample("reshim-hexa", "before-1", "imu.csv"),
            "--esc",
            Esc,
            "--airframe",
            Airframe,
            "--json",
            _scratch.Name("no-such-folder/out.json")
        );
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Contains("out.json cannot be written (there is no such folder)", run.Error, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFileSystemEntries(_scratch.Path));
    }

    [Theory]
    [InlineData("flight")]
    [InlineData("flight --imu a.csv b.csv --esc")]
    [InlineData("fly")]
    [InlineData("flight --imu a.csv --airframe b.toml --ambient warm")]
    public void A_wrong_command_line_ends_with_code_2(string line) =>
        Assert.Equal(ExitCode.WrongUsage, CommandRun.Of(line.Split(' ')).ExitCode);
}
