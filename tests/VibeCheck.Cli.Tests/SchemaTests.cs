using Json.Schema;

namespace VibeCheck.Cli.Tests;

/// <summary>The JSON results of the commands for every sample job conform to the schemas in docs.</summary>
public sealed class SchemaTests
{
    [Theory]
    [InlineData("reshim-hexa", ExitCode.Done)]
    [InlineData("null-hexa", ExitCode.Done)]
    [InlineData("mixed-hexa", ExitCode.Done)]
    [InlineData("loose-arm-hexa", ExitCode.Done)]
    [InlineData("no-speeds-hexa", ExitCode.Done)]
    [InlineData("not-comparable-hexa", ExitCode.NotComparable)]
    public void Every_comparison(string job, int exitCode) =>
        IsValid("compare-1.json", exitCode, "compare", Repository.Sample(job, "job.toml"), "--json", "-");

    [Theory]
    [InlineData("reshim-hexa", "before-1/imu.csv")]
    [InlineData("mixed-hexa", "before-1/flight.csv.gz")]
    public void A_flight_without_an_airframe(string job, string log) =>
        IsValid("flight-1.json", ExitCode.Done, "flight", Repository.Sample(job, log), "--json", "-");

    [Theory]
    [InlineData("reshim-hexa")]
    [InlineData("null-hexa")]
    [InlineData("no-speeds-hexa")]
    public void Every_shim_plan(string job) =>
        IsValid(
            "shims-1.json",
            ExitCode.Done,
            "shims",
            Repository.Sample(job, "survey.csv"),
            "--airframe",
            Repository.Sample(job, "airframe.toml"),
            "--json",
            "-"
        );

    private static void IsValid(string name, int exitCode, params string[] args)
    {
        CommandRun run = CommandRun.Of(args);
        Assert.Equal(exitCode, run.ExitCode);
        JsonSchema schema = JsonSchema.FromText(File.ReadAllText(Path.Combine(Repository.Root, "docs", "schemas", name)));
        EvaluationResults results = schema.Evaluate(run.Json(), new() { OutputFormat = OutputFormat.List });
        Assert.True(
            results.IsValid,
            string.Join(
                "\n",
                (results.Details ?? [])
                    .Where(d => d.Errors is { Count: > 0 })
                    .Select(d => $"{d.InstanceLocation}: {string.Join("; ", d.Errors!.Values)}")
                    .Take(20)
            )
        );
    }
}
