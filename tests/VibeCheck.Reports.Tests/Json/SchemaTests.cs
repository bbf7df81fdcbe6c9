using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Json;

namespace VibeCheck.Reports.Tests.Json;

public sealed class SchemaTests
{
    public static TheoryData<string> Names => [.. ResultSchemas.All.Keys];

    // The files are generated from the declaration; VIBECHECK_APPROVE=1 writes them again.
    [Theory]
    [MemberData(nameof(Names))]
    public void The_files_of_docs_are_what_is_declared(string name)
    {
        string path = Path.Combine(Repository.Root, "docs", "schemas", name);
        if (Environment.GetEnvironmentVariable("VIBECHECK_APPROVE") == "1")
        {
            File.WriteAllText(path, ResultSchemas.All[name]);
        }

        Assert.Equal(File.ReadAllText(path), ResultSchemas.All[name], ignoreLineEndingDifferences: true);
    }

    // A schema is a JSON document too: it is validated against the meta-schema of the standard (draft 2020-12).
    [Theory]
    [MemberData(nameof(Names))]
    public void Each_schema_is_one_by_the_standard(string name) => IsValid(MetaSchemas.Draft202012, ResultSchemas.All[name]);

    [Fact]
    public void Flights_of_all_kinds_are_as_the_schema_says()
    {
        JsonSchema schema = JsonSchema.FromText(ResultSchemas.All["flight-1.json"]);
        foreach (var flight in new[] { Examples.Before, Examples.After, Examples.Wide, Examples.NoHover })
        {
            IsValid(schema, Text(s => FlightJson.Write(flight, s)));
        }
    }

    [Fact]
    public void Comparisons_of_all_kinds_are_as_the_schema_says()
    {
        JsonSchema schema = JsonSchema.FromText(ResultSchemas.All["compare-1.json"]);
        foreach (var comparison in new[] { Examples.Improved, Examples.NoSurvey, Examples.NotComparable })
        {
            IsValid(schema, Text(s => ComparisonJson.Write(comparison, s)));
        }
    }

    [Fact]
    public void Shim_plans_are_as_the_schema_says()
    {
        JsonSchema schema = JsonSchema.FromText(ResultSchemas.All["shims-1.json"]);
        foreach (Airframe airframe in new[] { Examples.Hexa, Examples.Hexa with { Bolts = null } })
        {
            IsValid(schema, Text(s => ShimJson.Write(ShimPlan.Of(airframe, Examples.Survey), [], s)));
        }
    }

    [Fact]
    public void Readings_charts_and_histories_are_as_the_schemas_say()
    {
        IsValid(JsonSchema.FromText(ResultSchemas.All["read-1.json"]), Text(s => ReadingJson.Write([Examples.Before.Input.Imu], s)));
        IsValid(JsonSchema.FromText(ResultSchemas.All["chart-1.json"]), Text(s => ShimJson.Write(ShimChart.Of(28.6), s)));
        IsValid(JsonSchema.FromText(ResultSchemas.All["history-1.json"]), Text(s => HistoryJson.Write(Examples.Life, s)));
    }

    // A validation that accepts everything would prove nothing.
    [Theory]
    [InlineData("\"seconds_used\"", "\"seconds\"")]
    [InlineData("\"severity\": \"act\"", "\"severity\": \"urgent\"")]
    [InlineData("\"rows\": 182400", "\"rows\": null")]
    public void Another_name_word_or_type_is_refused(string from, string to)
    {
        JsonSchema schema = JsonSchema.FromText(ResultSchemas.All["flight-1.json"]);
        string text = Text(s => FlightJson.Write(Examples.Before, s));
        Assert.Contains(from, text, StringComparison.Ordinal);
        using JsonDocument changed = JsonDocument.Parse(text.Replace(from, to, StringComparison.Ordinal));
        Assert.False(schema.Evaluate(changed.RootElement).IsValid);
    }

    // The contract: an unknown value is null; names, texts, lists and objects are never unknown.
    [Theory]
    [InlineData("tool_version")]
    [InlineData("input")]
    [InlineData("input.imu.path")]
    [InlineData("input.imu.columns")]
    [InlineData("input.imu.columns[0].header")]
    [InlineData("hover")]
    [InlineData("hover.segments")]
    [InlineData("hover.segments[0]")]
    [InlineData("hover.segments[0].from_s")]
    [InlineData("levels[0].unit")]
    [InlineData("motors")]
    [InlineData("motors[0].id")]
    [InlineData("motors[0].orders")]
    [InlineData("motors[0].motor_temp")]
    [InlineData("yaw_trim.from")]
    [InlineData("peaks[0].kind")]
    [InlineData("findings[0].text")]
    [InlineData("findings[0].follows")]
    public void Null_is_refused_where_something_always_stands(string path) => Assert.False(IsValidWithNull(path), path);

    [Theory]
    [InlineData("input.esc")]
    [InlineData("input.imu.rate_hz")]
    [InlineData("input.imu.columns[0].unit")]
    [InlineData("hover.why")]
    [InlineData("levels[0].rms")]
    [InlineData("levels[0].ci95")]
    [InlineData("motors[0].rpm_mean")]
    [InlineData("motors[0].orders[0].per_axis")]
    [InlineData("motors[0].motor_temp.reason")]
    [InlineData("findings[0].motor")]
    [InlineData("findings[0].root")]
    [InlineData("group")]
    public void Null_is_taken_where_something_may_be_unknown(string path) => Assert.True(IsValidWithNull(path), path);

    private static bool IsValidWithNull(string path)
    {
        JsonObject flight = Written.Json(s => FlightJson.Write(Examples.Before, s));
        string[] steps = path.Replace("[", ".[", StringComparison.Ordinal).Split('.');
        JsonNode parent = steps[..^1].Aggregate((JsonNode)flight, (node, step) => Child(node, step)!);
        if (steps[^1].StartsWith('['))
        {
            parent[Place(steps[^1])] = null;
        }
        else
        {
            Assert.True(parent.AsObject().ContainsKey(steps[^1]), path);
            parent[steps[^1]] = null;
        }

        using var changed = JsonDocument.Parse(flight.ToJsonString());
        return JsonSchema.FromText(ResultSchemas.All["flight-1.json"]).Evaluate(changed.RootElement).IsValid;
    }

    private static JsonNode? Child(JsonNode node, string step) => step.StartsWith('[') ? node[Place(step)] : node[step];

    private static int Place(string step) => int.Parse(step[1..^1], CultureInfo.InvariantCulture);

    private static string Text(Action<Stream> write)
    {
        using var stream = new MemoryStream();
        write(stream);
        return System.Text.Encoding.UTF8.GetString(stream.ToArray());
    }

    private static void IsValid(JsonSchema schema, string text)
    {
        using JsonDocument document = JsonDocument.Parse(text);
        EvaluationResults results = schema.Evaluate(document.RootElement, new() { OutputFormat = OutputFormat.List });
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
