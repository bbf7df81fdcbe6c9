using System.Text.Json;

namespace VibeCheck.Cli.Tests;

/// <summary>First commands of a user who has read nothing: logs alone, a folder, no airframe.</summary>
public sealed class FirstTryTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    private static string Before => Repository.Sample("reshim-hexa", "before-1");

    private static string After => Repository.Sample("reshim-hexa", "after-1");

    public void Dispose() => _scratch.Dispose();

    [Fact]
    [Trait("Category", "Slow")]
    public void Two_bare_folders_are_before_and_after_and_give_the_answer_of_the_job()
    {
        CommandRun bare = CommandRun.Of("compare", Before, After, "--json", "-");
        CommandRun job = CommandRun.Of("compare", Repository.Sample("reshim-hexa", "job.toml"), "--json", "-");
        Assert.Equal(ExitCode.Done, bare.ExitCode);
        JsonElement one = bare.Json(),
            other = job.Json();
        Assert.Equal("improved", one.GetProperty("verdict").GetString());

        // An airframe adds only the blade count to the sum of the orders, and it is two on the sample.
        Assert.Equal(
            other.GetProperty("calls").GetProperty("vibration").GetProperty("change").GetDouble(),
            one.GetProperty("calls").GetProperty("vibration").GetProperty("change").GetDouble(),
            0.05
        );
        Assert.Equal(JsonValueKind.Null, one.GetProperty("yaw_trim").GetProperty("split_before").ValueKind);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_folder_without_job_file_is_compared_by_the_names_before_and_after()
    {
        string folder = _scratch.Name("job");
        Copy(Before, Path.Combine(folder, "before-1"));
        Copy(After, Path.Combine(folder, "After 1"));
        File.Copy(Repository.Sample("reshim-hexa", "airframe.toml"), Path.Combine(folder, "airframe.toml"));

        CommandRun run = CommandRun.Of("compare", folder, "--json", "-");

        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Equal("improved", run.Json().GetProperty("verdict").GetString());
        Assert.Equal(JsonValueKind.Number, run.Json().GetProperty("yaw_trim").GetProperty("split_before").ValueKind);
    }

    [Fact]
    public void A_folder_with_nothing_to_compare_is_reported_with_its_contents_and_what_to_do()
    {
        string folder = _scratch.Name("job");
        Directory.CreateDirectory(Path.Combine(folder, "monday"));
        CommandRun run = CommandRun.Of("compare", folder);
        Assert.Equal(ExitCode.UnusableInput, run.ExitCode);
        Assert.Contains(
            "there is no job.toml here, nor logs or folders whose names begin with before and with after (it holds monday)",
            run.Error,
            StringComparison.Ordinal
        );
        Assert.Contains("vibecheck compare --before F --after F", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Flights_can_be_named_by_their_files_on_each_side()
    {
        CommandRun run = CommandRun.Of(
            "compare",
            "--before",
            Path.Combine(Before, "imu.csv"),
            Path.Combine(Before, "esc.csv"),
            "--after",
            Path.Combine(After, "imu.csv"),
            Path.Combine(After, "esc.csv"),
            "--airframe",
            Repository.Sample("reshim-hexa", "airframe.toml"),
            "--survey",
            Repository.Sample("reshim-hexa", "survey.csv"),
            "--ambient-before",
            "21",
            "--ambient-after",
            "24",
            "--json",
            "-"
        );
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Equal(1, run.Json().GetProperty("flights").GetProperty("before").GetArrayLength());
        Assert.Equal(JsonValueKind.Number, run.Json().GetProperty("motors")[0].GetProperty("tilt_before_deg").ValueKind);
    }

    [Theory]
    [InlineData("Name the one after as well", "one.csv")]
    [InlineData("Which of these are before, and which after?", "one.csv", "two.csv", "three.csv")]
    [InlineData("--before is given without --after", "--before", "one.csv")]
    [InlineData("one is a job file", "job.toml", "two.csv")]
    [InlineData("Name a job file or its folder, or two logs")]
    public void Names_that_do_not_give_two_sides_are_answered_with_what_to_do(string answer, params string[] names)
    {
        CommandRun run = CommandRun.Of(["compare", .. names]);
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Contains(answer, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_survey_without_an_airframe_is_refused_with_what_to_do()
    {
        CommandRun run = CommandRun.Of("compare", Before, After, "--survey", Repository.Sample("reshim-hexa", "survey.csv"));
        Assert.Equal(ExitCode.UnusableInput, run.ExitCode);
        Assert.Contains("a survey can be read only with an airframe file", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_flight_without_an_airframe_gives_what_it_can_and_says_what_an_airframe_would_add()
    {
        string page = _scratch.Name("flight.html");
        CommandRun run = CommandRun.Of("flight", Path.Combine(Before, "esc.csv"), Path.Combine(Before, "imu.csv"), "--report", page);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Contains("the vibration from the rotors was", run.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Contains(
            "No airframe file was given. The log names 6 motors.",
            run.Output.ReplaceLineEndings(" "),
            StringComparison.Ordinal
        );
        Assert.Contains("vibecheck airframe airframe.toml", run.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);

        // Senses of rotation are unknown: no motor may be named for a swap, and no yaw trim may be reported.
        Assert.DoesNotContain("turn the same way", run.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.DoesNotContain("class=\"plan\"", File.ReadAllText(page), StringComparison.Ordinal);
        JsonElement json = CommandRun.Of("flight", Path.Combine(Before, "esc.csv"), Path.Combine(Before, "imu.csv"), "--json", "-").Json();
        Assert.Equal(JsonValueKind.Null, json.GetProperty("yaw_trim").GetProperty("split").ValueKind);
        Assert.Equal(6, json.GetProperty("motors").GetArrayLength());
        Assert.All(
            json.GetProperty("motors").EnumerateArray(),
            m => Assert.Equal(JsonValueKind.Number, m.GetProperty("load_share").ValueKind)
        );
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_log_of_the_imu_alone_still_gives_levels_and_never_says_that_nothing_stands_out()
    {
        CommandRun run = CommandRun.Of("flight", Path.Combine(Before, "imu.csv"), "--report", _scratch.Name("flight.html"));
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.DoesNotContain("Nothing stands out", run.Output, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("Nothing stands out", File.ReadAllText(_scratch.Name("flight.html")), StringComparison.OrdinalIgnoreCase);
        JsonElement json = CommandRun.Of("flight", Path.Combine(Before, "imu.csv"), "--json", "-").Json();
        Assert.NotEqual(0, json.GetProperty("levels").GetArrayLength());
    }

    [Fact]
    public void Unrelated_flights_are_not_taken_for_parts_of_one()
    {
        string[] flights =
        [
            Path.Combine(Before, "imu.csv"),
            Path.Combine(After, "imu.csv"),
            Repository.Sample("null-hexa", "before-1", "flight.csv.gz"),
        ];
        CommandRun run = CommandRun.Of(["flight", "--imu", .. flights]);
        Assert.Equal(ExitCode.UnusableInput, run.ExitCode);
        Assert.Contains("so the two are different flights and not parts of one", run.Error, StringComparison.Ordinal);
        Assert.Contains("vibecheck compare", run.Error, StringComparison.Ordinal);
    }

    private static void Copy(string from, string to)
    {
        Directory.CreateDirectory(to);
        foreach (string file in Directory.GetFiles(from))
        {
            File.Copy(file, Path.Combine(to, Path.GetFileName(file)));
        }
    }
}
