using System.Text.Json;

namespace VibeCheck.Cli.Tests;

public sealed class ReadCommandTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    private static string Imu => Places.Sample("reshim-hexa", "before-1", "imu.csv");

    [Fact]
    public void Table_tells_each_column_its_unit_and_how_it_is_known()
    {
        CommandRun run = CommandRun.Of("read", Imu);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Contains("time_us             time             µs       header", run.Output, StringComparison.Ordinal);
        Assert.Contains("acc_z_mps2          acc_z            m/s²     header", run.Output, StringComparison.Ordinal);
        Assert.All(run.Output.Split('\n').Skip(1), line => Assert.True(line.TrimEnd().Length <= 80, line));
    }

    [Fact]
    public void Json_tells_the_same()
    {
        CommandRun run = CommandRun.Of("read", Imu, "--json", "-");
        JsonElement file = JsonDocument.Parse(run.Output).RootElement.GetProperty("files")[0];
        Assert.Equal(54500, file.GetProperty("rows").GetInt32());
        Assert.Equal(500, file.GetProperty("rate_hz").GetDouble(), 0.01);
        Assert.Equal("acc_x", file.GetProperty("columns")[1].GetProperty("channel").GetString());
        Assert.Equal("m/s²", file.GetProperty("columns")[1].GetProperty("unit").GetString());
    }

    [Fact]
    public void Columns_file_is_written_and_taken_back()
    {
        string columns = _scratch.Name("columns.toml");
        Assert.Equal(ExitCode.Done, CommandRun.Of("read", Imu, "--write-columns", columns).ExitCode);
        CommandRun run = CommandRun.Of("read", Imu, "--columns", columns);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Contains("acc_z_mps2          acc_z            m/s²     columns file", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Imu_that_is_not_there_is_told()
    {
        CommandRun run = CommandRun.Of("read", Imu, "--imu-unit", "2");
        Assert.Equal(ExitCode.UnusableInput, run.ExitCode);
        Assert.Contains("IMU 2 was asked for, but the log has 1", run.Error, StringComparison.Ordinal);
    }
}
