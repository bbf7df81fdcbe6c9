namespace VibeCheck.Cli.Tests;

/// <summary>Tables for a spreadsheet: one row per motor.</summary>
public sealed class TableTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Fact]
    [Trait("Category", "Slow")]
    public void Compare_writes_before_survey_and_after_of_each_motor_into_a_new_folder()
    {
        string folder = _scratch.Name("tables");
        CommandRun run = CommandRun.Of("compare", Repository.Sample("reshim-hexa", "job.toml"), "--tables", folder);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        string[] lines = File.ReadAllLines(Path.Combine(folder, "motors.csv"));
        Assert.Equal(7, lines.Length);
        Assert.Contains("tilt_deg_before", lines[0], StringComparison.Ordinal);
        Assert.Contains("order1_change_db", lines[0], StringComparison.Ordinal);
        Assert.StartsWith("M1,", lines[1], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("-", "is not a folder")]
    [InlineData("taken.txt", "is a file")]
    public void A_path_that_is_no_folder_is_refused_before_anything_is_read(string name, string says)
    {
        string path = name == "-" ? name : _scratch.Name(name);
        if (name != "-")
        {
            File.WriteAllText(path, "notes");
        }

        CommandRun run = CommandRun.Of("compare", _scratch.Name("no-such-job"), "--tables", path);
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Contains(says, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_log_with_the_name_of_a_table_is_not_overwritten()
    {
        string folder = _scratch.Name("logs"),
            log = Path.Combine(folder, "motors.csv");
        Directory.CreateDirectory(folder);
        File.Copy(Repository.Sample("reshim-hexa", "before-1", "imu.csv"), log);
        byte[] content = File.ReadAllBytes(log);
        CommandRun run = CommandRun.Of("flight", log, "--tables", folder);
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Equal(content, File.ReadAllBytes(log));
    }
}
