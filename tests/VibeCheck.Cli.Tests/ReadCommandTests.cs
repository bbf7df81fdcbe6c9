using System.Text.Json;

namespace VibeCheck.Cli.Tests;

public sealed class ReadCommandTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    private static string Imu => Repository.Sample("reshim-hexa", "before-1", "imu.csv");

    [Fact]
    public void Table_lists_each_column_with_its_unit_and_how_it_is_known()
    {
        CommandRun run = CommandRun.Of("read", Imu);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Contains("time_us       time     µs     header", run.Output, StringComparison.Ordinal);
        Assert.Contains("acc_z_mps2    acc_z    m/s²   header", run.Output, StringComparison.Ordinal);
        Assert.All(run.Output.Split('\n').Skip(1), line => Assert.True(line.TrimEnd().Length <= 80, line));
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Json_contains_the_same()
    {
        CommandRun run = CommandRun.Of("read", Imu, "--json", "-");
        JsonElement file = JsonDocument.Parse(run.Output).RootElement.GetProperty("files")[0];
        Assert.Equal(54500, file.GetProperty("rows").GetInt32());
        Assert.Equal(500, file.GetProperty("rate_hz").GetDouble(), 0.01);
        Assert.Equal("acc_x", file.GetProperty("columns")[1].GetProperty("channel").GetString());
        Assert.Equal("m/s²", file.GetProperty("columns")[1].GetProperty("unit").GetString());
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Columns_file_is_written_and_read_back()
    {
        string columns = _scratch.Name("columns.toml");
        Assert.Equal(ExitCode.Done, CommandRun.Of("read", Imu, "--write-columns", columns).ExitCode);
        CommandRun run = CommandRun.Of("read", Imu, "--columns", columns);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Contains("acc_z_mps2    acc_z    m/s²   columns file", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Log_of_unknown_headers_gets_a_columns_file_to_fill_in()
    {
        string log = _scratch.Name("strange.csv"),
            columns = _scratch.Name("strange.toml");
        File.WriteAllLines(log, ["ch1,ch2,ch3,acc_z_g", .. Enumerable.Range(0, 100).Select(i => $"{2 * i},0.1,0.2,-1")]);
        CommandRun refused = CommandRun.Of("read", log, "--write-columns", columns);
        Assert.Equal(ExitCode.UnusableInput, refused.ExitCode);
        Assert.Contains("no column is named as time", refused.Error, StringComparison.Ordinal);
        Assert.Contains(
            $"{columns} now lists its columns: check what they are, fill in what is missing, and give it with --columns {columns}.",
            refused.Error,
            StringComparison.Ordinal
        );
        Assert.DoesNotContain("--write-columns", refused.Error, StringComparison.Ordinal);

        string text = File.ReadAllText(columns);
        Assert.Contains("[[column]]\nheader = \"acc_z_g\"\nis = \"acc_z\"\nunit = \"g\"\n", text, StringComparison.Ordinal);
        foreach (
            (string header, string channel) in ((string, string)[])
                [("ch1", "time\"\n# unit = \"ms"), ("ch2", "acc_x\"\n# unit = \"g"), ("ch3", "acc_y\"\n# unit = \"g")]
        )
        {
            text = text.Replace(
                $"# header = \"{header}\"\n# is = \"ignore",
                $"# header = \"{header}\"\n# is = \"{channel}",
                StringComparison.Ordinal
            );
        }

        File.WriteAllText(
            columns,
            text.Replace("# [[", "[[", StringComparison.Ordinal)
                .Replace("# header", "header", StringComparison.Ordinal)
                .Replace("# is = ", "is = ", StringComparison.Ordinal)
                .Replace("# unit =", "unit =", StringComparison.Ordinal)
        );
        CommandRun read = CommandRun.Of("read", log, "--columns", columns);
        Assert.Equal(ExitCode.Done, read.ExitCode);
        Assert.Contains("100 rows, 0 unusable. 500 Hz", read.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void An_imu_number_beyond_those_in_the_log_is_reported()
    {
        CommandRun run = CommandRun.Of("read", Imu, "--imu-unit", "2");
        Assert.Equal(ExitCode.UnusableInput, run.ExitCode);
        Assert.Contains("IMU 2 was asked for, but the log has 1", run.Error, StringComparison.Ordinal);
    }
}
