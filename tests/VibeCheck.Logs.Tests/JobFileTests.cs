using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;

namespace VibeCheck.Logs.Tests;

public sealed class JobFileTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-job-").FullName;

    public JobFileTests()
    {
        foreach (
            string name in new[]
            {
                "airframe.toml",
                "survey.csv",
                "b1.csv",
                "b2.csv",
                "a1.csv",
                "a1-esc.csv",
                "a2.csv",
                "recorder.toml",
                "other.toml",
            }
        )
        {
            File.WriteAllText(Path.Combine(_folder, name), "x");
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void A_job_with_several_flights_and_thresholds_is_read_completely()
    {
        Job job = Read(
            """
            title = "Re-shim"
            airframe = "airframe.toml"
            survey = "survey.csv"
            [thresholds]
            change_db = 1.5
            flight_scatter_c = 1
            [[before]]
            imu = ["b1.csv", "b2.csv"]
            ambient_c = 21
            [[after]]
            imu = "a1.csv"
            esc = "a1-esc.csv"
            name = "evening"
            [[after]]
            imu = "a2.csv"
            """
        );
        Assert.Equal("Re-shim", job.Title);
        Assert.Equal(Path.Combine(_folder, "survey.csv"), job.Survey);
        Assert.Equal([Path.Combine(_folder, "b1.csv"), Path.Combine(_folder, "b2.csv")], job.Before.Single().Files.Imu);
        Assert.Equal(21, job.Before[0].AmbientC);
        Assert.Equal(2, job.After.Count);
        Assert.Equal([Path.Combine(_folder, "a1-esc.csv")], job.After[0].Files.Esc);
        Assert.Equal("evening", job.After[0].Name);
        Assert.Null(job.After[1].AmbientC);
        Assert.Equal(
            (1.5, 2.0, 0.4, 1.0),
            (job.Options.MinChangeDb, job.Options.MinChangeC, job.Options.FlightScatterDb, job.Options.FlightScatterC)
        );
        Assert.Empty(job.Remarks);
    }

    [Fact]
    public void The_part_of_a_flight_that_hover_is_taken_from_is_read_and_written_the_same()
    {
        Job job = Read("airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"\nhover_s = [20, 140.5]\n[[after]]\nimu = \"a1.csv\"\n");
        Assert.Equal(new TimeInterval(20, 140.5), job.Before[0].HoverS);
        Assert.Null(job.After[0].HoverS);
        Assert.Empty(job.Remarks);
        Assert.Contains("hover_s = [20, 140.5]\n", JobText.Of(job, _folder, null), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("[140, 20]")]
    [InlineData("[20, 21]")]
    [InlineData("[20]")]
    public void A_part_that_holds_no_hover_is_refused(string part)
    {
        var fault = Assert.Throws<InputFaultException>(() =>
            Read($"airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"\nhover_s = {part}\n[[after]]\nimu = \"a1.csv\"\n")
        );
        Assert.Contains("'hover_s' is not a part of a flight of 2 s or more", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_means_the_job_file_in_it()
    {
        Write("airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"\n[[after]]\nimu = \"a1.csv\"\n");
        Job job = JobFile.Read(_folder);
        Assert.Equal(Path.GetFileName(_folder), job.Title);
        Assert.Null(job.Survey);
    }

    [Fact]
    public void Stages_are_read_in_the_order_of_the_file()
    {
        Job job = Read(
            """
            airframe = "airframe.toml"
            [[stage]]
            name = "as built"
            date = "2026-03-01"
            [[stage.flight]]
            imu = "b1.csv"
            [[stage.flight]]
            imu = "b2.csv"
            [[stage]]
            name = "shims on M1"
            date = "2026-04-02"
            [[stage.flight]]
            imu = "a1.csv"
            """
        );
        Assert.Equal(["as built", "shims on M1"], job.Stages.Select(s => s.Name));
        Assert.Equal([2, 1], job.Stages.Select(s => s.Flights.Count));
        Assert.Equal(new DateOnly(2026, 4, 2), job.Stages[1].Date);
    }

    [Fact]
    public void A_columns_file_applies_to_all_flights_that_name_none_of_their_own()
    {
        Job job = Read(
            """
            airframe = "airframe.toml"
            columns = "recorder.toml"
            [[before]]
            imu = "b1.csv"
            [[after]]
            imu = "a1.csv"
            columns = "other.toml"
            imu_unit = 2
            """
        );
        Assert.Equal((Path.Combine(_folder, "recorder.toml"), null), (job.Before[0].Columns, job.Before[0].ImuUnit));
        Assert.Equal((Path.Combine(_folder, "other.toml"), 2), (job.After[0].Columns, job.After[0].ImuUnit));
        Assert.Empty(job.Remarks);
    }

    [Fact]
    public void A_mistyped_key_is_named_and_not_used()
    {
        Job job = Read("airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"\nambient = 3\n[[after]]\nimu = \"a1.csv\"\n");
        Assert.Equal(["line 4: 'ambient' means nothing here and is not used; did you mean 'ambient_c'?"], job.Remarks);
    }

    [Theory]
    [InlineData("[[before]]\nimu = \"b1.csv\"\n[[after]]\nimu = \"a1.csv\"", 1, "the job names no airframe")]
    [InlineData("airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"", 1, "the job has no flight after the work")]
    [InlineData("airframe = \"airframe.toml\"\n[[after]]\nimu = \"a1.csv\"", 1, "the job has no flight before the work")]
    [InlineData(
        "airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"\n[[after]]\nimu = \"none.csv\"",
        5,
        "there is no file 'none.csv'"
    )]
    [InlineData("airframe = \"airframe.toml\"\n[[before]]\nambient_c = 3\n[[after]]\nimu = \"a1.csv\"", 2, "[[before]] names no IMU file")]
    [InlineData(
        "airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"\nambient_c = \"warm\"\n[[after]]\nimu = \"a1.csv\"",
        4,
        "'\"warm\"' under 'ambient_c' is not a number"
    )]
    [InlineData(
        "airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"\nambient_c = 295\n[[after]]\nimu = \"a1.csv\"",
        4,
        "an ambient temperature of 295 °C is not plausible"
    )]
    [InlineData(
        "airframe = \"airframe.toml\"\n[thresholds]\nchange_db = 0\n[[before]]\nimu = \"b1.csv\"\n[[after]]\nimu = \"a1.csv\"",
        3,
        "'change_db' is 0, not above 0"
    )]
    [InlineData(
        "airframe = \"airframe.toml\"\n[[stage]]\nname = \"shims\"\ndate = \"2026-06-02\"\n[[stage.flight]]\nimu = "
            + "\"a1.csv\"\n[[stage]]\nname = \"as built\"\ndate = \"2026-05-04\"\n[[stage.flight]]\nimu = \"b1.csv\"",
        9,
        "stage 'as built' of 2026-05-04 stands below 'shims' of 2026-06-02"
    )]
    [InlineData("airframe = \"airframe.toml\"\n[[stage]]\nname = \"a\"\ndate = \"1.3.26\"", 4, "'1.3.26' is not a date")]
    [InlineData("airframe = \"airframe.toml\"\n[[before]]\nimu = 3\n[[after]]\nimu = \"a1.csv\"", 3, "'imu' is not a text")]
    [InlineData(
        "airframe = \"airframe.toml\"\ncolumns = \"none.toml\"\n[[before]]\nimu = \"b1.csv\"\n[[after]]\nimu = \"a1.csv\"",
        2,
        "there is no file 'none.toml'"
    )]
    [InlineData(
        "airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"\nimu_unit = 0\n[[after]]\nimu = \"a1.csv\"",
        4,
        "'imu_unit' must be 1 or more"
    )]
    public void A_fault_is_reported_with_its_line(string text, int line, string problem)
    {
        InputFault fault = Assert.Throws<InputFaultException>(() => Read(text)).Fault;
        Assert.Equal((line, problem), (fault.Line, fault.Problem));
        Assert.NotEmpty(fault.Remedy);
    }

    [Fact]
    public void The_same_log_on_both_sides_is_a_fault()
    {
        InputFault fault = Assert
            .Throws<InputFaultException>(() =>
                Read("airframe = \"airframe.toml\"\n[[before]]\nimu = \"b1.csv\"\n[[after]]\nimu = \"b1.csv\"\n")
            )
            .Fault;
        Assert.Equal(4, fault.Line);
        Assert.Contains("already given as the flight of line 2", fault.Problem, StringComparison.Ordinal);
    }

    [Fact]
    public void A_missing_job_file_is_a_fault() =>
        Assert.Equal(
            "there is no such file",
            Assert.Throws<InputFaultException>(() => JobFile.Read(Path.Combine(_folder, "no.toml"))).Fault.Problem
        );

    private Job Read(string text) => JobFile.Read(Write(text));

    private string Write(string text)
    {
        string path = Path.Combine(_folder, "job.toml");
        File.WriteAllText(path, text);
        return path;
    }
}
