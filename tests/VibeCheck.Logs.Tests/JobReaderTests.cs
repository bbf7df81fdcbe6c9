using System.Globalization;
using System.Text;
using VibeCheck.Core.Comparisons;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;

namespace VibeCheck.Logs.Tests;

public sealed class JobReaderTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-read-").FullName;

    public JobReaderTests()
    {
        Write("airframe.toml", "name = \"Made\"\n[[motor]]\nid = \"M1\"\nazimuth_deg = 45\narm_m = 0.2\nspin = \"cw\"\n");
        Write("one.csv", Log(1, 0, 3000));
        Write("two.csv", Log(2, 0, 3000));
        Write("one-again.csv", Log(1, 0, 3000));
        Write("one-cut.csv", Log(1, 700, 3000));
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_job_is_read_with_what_it_says_of_each_flight()
    {
        JobFlights flights = JobReader.Read(JobOf("one.csv", "two.csv"), cancellation: TestContext.Current.CancellationToken);
        Assert.Equal(("Made", 3000, 3000), (flights.Airframe.Name, flights.Before[0].Imu.Count, flights.After[0].Imu.Count));
        Assert.Equal(17, flights.Before[0].AmbientC);
        Assert.Null(flights.After[0].AmbientC);
        Assert.Null(flights.Survey);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_recorder_with_headers_of_its_own_is_read_by_the_columns_file_that_the_job_names()
    {
        foreach (string name in new[] { "one", "two" })
        {
            string path = Path.Combine(_folder, name + ".csv");
            Write(
                name + "-raw.csv",
                "ch1,ch2,ch3,ch4\n" + File.ReadAllText(path)[(File.ReadAllText(path).IndexOf('\n', StringComparison.Ordinal) + 1)..]
            );
        }

        Write(
            "recorder.toml",
            string.Concat(
                new[] { ("ch1", "time", "s"), ("ch2", "acc_x", "m/s2"), ("ch3", "acc_y", "m/s2"), ("ch4", "acc_z", "m/s2") }.Select(c =>
                    $"[[column]]\nheader = \"{c.Item1}\"\nis = \"{c.Item2}\"\nunit = \"{c.Item3}\"\n"
                )
            )
        );
        Assert.Throws<InputFaultException>(() =>
            JobReader.Read(JobOf("one-raw.csv", "two-raw.csv"), cancellation: TestContext.Current.CancellationToken)
        );
        JobFlights raw = JobReader.Read(
            JobOf("one-raw.csv", "two-raw.csv", "columns = \"recorder.toml\"\n"),
            cancellation: TestContext.Current.CancellationToken
        );
        JobFlights named = JobReader.Read(JobOf("one.csv", "two.csv"), cancellation: TestContext.Current.CancellationToken);
        Assert.Equal(named.After[0].Imu.AccZMps2, raw.After[0].Imu.AccZMps2);
        Assert.Equal("columns file", raw.Before[0].Input.Imu.Columns[1].HowKnown);
    }

    [Theory]
    [InlineData("one-again.csv", "hold the same flight")]
    [InlineData("one-cut.csv", "hold stretches of the same flight")]
    public void The_same_flight_under_another_name_is_a_fault(string after, string how)
    {
        InputFault fault = Assert
            .Throws<InputFaultException>(() => JobReader.Read(JobOf("one.csv", after), cancellation: TestContext.Current.CancellationToken))
            .Fault;
        Assert.Equal(5, fault.Line);
        Assert.EndsWith($"(line 2) {how}", fault.Problem, StringComparison.Ordinal);
        Assert.StartsWith("Name a different flight", fault.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_fault_in_a_log_is_reported_with_that_log()
    {
        Write("empty.csv", "");
        InputFault fault = Assert
            .Throws<InputFaultException>(() =>
                JobReader.Read(JobOf("one.csv", "empty.csv"), cancellation: TestContext.Current.CancellationToken)
            )
            .Fault;
        Assert.EndsWith("empty.csv", fault.File, StringComparison.Ordinal);
    }

    private Job JobOf(string before, string after, string top = "")
    {
        Write(
            "job.toml",
            top + $"airframe = \"airframe.toml\"\n[[before]]\nimu = \"{before}\"\nambient_c = 17\n[[after]]\nimu = \"{after}\"\n"
        );
        return JobFile.Read(_folder);
    }

    private void Write(string name, string text) => File.WriteAllText(Path.Combine(_folder, name), text);

    /// <summary>Rows from first to last of a simulated record at 500 Hz, with time starting at zero.</summary>
    private static string Log(int seed, int first, int last)
    {
        var random = new Random(seed);
        var text = new StringBuilder("time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2\n");
        for (int i = 0; i < last; i++)
        {
            (double x, double y, double z) = (random.NextDouble(), random.NextDouble(), random.NextDouble() - 10.3);
            if (i >= first)
            {
                text.Append(CultureInfo.InvariantCulture, $"{(i - first) * 0.002:F3},{x:F4},{y:F4},{z:F4}\n");
            }
        }

        return text.ToString();
    }
}
