using System.Text.Json.Nodes;

namespace VibeCheck.Cli.Tests;

/// <summary>Every unknown value of a result has a reason beside it, in results of every sample job and of poor logs and surveys.</summary>
public sealed class WhyTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    public static TheoryData<string> Jobs => [.. Directory.GetDirectories(Repository.Sample()).Select(d => Path.GetFileName(d)!)];

    public static TheoryData<string> Surveys =>
        [
            .. Directory
                .GetDirectories(Repository.Sample())
                .Where(d => File.Exists(Path.Combine(d, "survey.csv")))
                .Select(d => Path.GetFileName(d)!),
        ];

    [Theory]
    [Trait("Category", "Slow")]
    [MemberData(nameof(Jobs))]
    public void Of_every_comparison(string job) => IsExplained("compare", Repository.Sample(job, "job.toml"));

    [Theory]
    [MemberData(nameof(Surveys))]
    public void Of_every_shim_plan(string job) => IsExplained("shims", Survey(job), "--airframe", Airframe(job));

    [Fact]
    public void Of_a_plan_in_which_one_motor_was_not_read() =>
        IsExplained("shims", _scratch.File("survey.csv", Without(Survey("reshim-hexa"), "M3,")), "--airframe", Airframe("reshim-hexa"));

    [Fact]
    public void Of_a_plan_without_readings_as_left() =>
        IsExplained("shims", _scratch.File("survey.csv", Without(Survey("null-hexa"), "left")), "--airframe", Airframe("null-hexa"));

    [Fact]
    public void Of_a_flight_without_airframe_and_telemetry() =>
        IsExplained("flight", Repository.Sample("reshim-hexa", "before-1", "imu.csv"));

    [Fact]
    public void Of_a_flight_with_a_short_hover() => IsExplained("flight", Beginning("before-1", 8000));

    [Fact]
    public void Of_two_flights_without_telemetry() => IsExplained("compare", Beginning("before-1", 20000), Beginning("after-1", 8000));

    [Fact]
    public void Of_how_logs_were_read() =>
        IsExplained(
            "read",
            Repository.Sample("reshim-hexa", "before-1", "imu.csv"),
            Repository.Sample("reshim-hexa", "before-1", "esc.csv")
        );

    [Fact]
    public void Of_a_history()
    {
        string Stage(string name, string date, string flight) =>
            $"[[stage]]\nname = \"{name}\"\ndate = \"{date}\"\n[[stage.flight]]\nimu = '{Repository.Sample(flight, "before-1", "flight.csv.gz")}'\n";
        string job =
            $"airframe = '{Airframe("mixed-hexa")}'\n{Stage("one", "2026-05-01", "mixed-hexa")}{Stage("two", "2026-06-01", "no-speeds-hexa")}";
        IsExplained("compare", _scratch.File("job.toml", job));
    }

    private static void IsExplained(params string[] args)
    {
        CommandRun run = CommandRun.Of([.. args, "--json", "-"]);
        Assert.True(run.Output.StartsWith('{'), run.Error);
        Assert.Empty(UnexplainedNulls.In(JsonNode.Parse(run.Output)));
    }

    private static string Survey(string job) => Repository.Sample(job, "survey.csv");

    private static string Airframe(string job) => Repository.Sample(job, "airframe.toml");

    private static string Without(string file, string part) =>
        string.Join('\n', File.ReadLines(file).Where(line => !line.Contains(part, StringComparison.Ordinal))) + "\n";

    private string Beginning(string flight, int rows) =>
        _scratch.File(
            flight + ".csv",
            string.Join('\n', File.ReadLines(Repository.Sample("reshim-hexa", flight, "imu.csv")).Take(rows)) + "\n"
        );
}
