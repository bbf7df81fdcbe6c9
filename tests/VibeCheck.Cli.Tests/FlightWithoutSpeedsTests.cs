using System.Text.Json;

namespace VibeCheck.Cli.Tests;

/// <summary>A sample log without its columns of speed: speeds are found from the vibration, or the result says why not.</summary>
public sealed class FlightWithoutSpeedsTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    public void Dispose() => _scratch.Dispose();

    [Fact]
    [Trait("Category", "Slow")]
    public void Every_motor_has_orders_or_the_reason_why_not()
    {
        JsonElement result = Flight(Without("_rpm"));
        JsonElement[] motors = [.. result.GetProperty("motors").EnumerateArray()];
        Assert.Equal(6, motors.Length);
        string[] codes = [.. result.GetProperty("warnings").EnumerateArray().Select(w => w.GetProperty("code").GetString()!)];
        Assert.Contains("no-speeds", codes);
        Assert.Equal(motors.Any(m => m.GetProperty("rpm_mean").ValueKind == JsonValueKind.Number), codes.Contains("speeds-from-vibration"));
        foreach (JsonElement motor in motors)
        {
            bool known = motor.GetProperty("rpm_mean").ValueKind == JsonValueKind.Number;
            Assert.True(known || motor.GetProperty("why").GetProperty("rpm_mean").GetString() is { Length: > 20 });
            Assert.Equal(known ? "vibration" : "none", motor.GetProperty("rpm_from").GetString());
            Assert.All(
                motor.GetProperty("orders").EnumerateArray(),
                o => Assert.True(o.GetProperty("rms_mps2").ValueKind == JsonValueKind.Number || o.GetProperty("why").ToString().Length > 20)
            );
        }
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Speeds_that_are_found_are_the_true_ones()
    {
        double[] truth =
        [
            .. JsonDocument
                .Parse(File.ReadAllText(Repository.Sample("reshim-hexa", "truth.json")))
                .RootElement.GetProperty("before")
                .GetProperty("motors")
                .EnumerateArray()
                .Select(m => m.GetProperty("rpm_mean").GetDouble()),
        ];
        JsonElement[] motors = [.. Flight(Without("_rpm")).GetProperty("motors").EnumerateArray()];
        int known = 0;
        for (int m = 0; m < motors.Length; m++)
        {
            if (motors[m].GetProperty("rpm_mean").ValueKind == JsonValueKind.Number)
            {
                known++;
                Assert.Equal(truth[m], motors[m].GetProperty("rpm_mean").GetDouble(), tolerance: 0.003 * truth[m]);
            }
        }

        Assert.True(known >= 2, $"{known} speeds found");
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void A_comparison_with_speeds_that_were_found_on_one_side_says_so_and_comes_out_the_same()
    {
        string esc = Without("M3_rpm"),
            job = Path.Combine(Path.GetDirectoryName(esc)!, "job.toml");
        File.WriteAllText(
            job,
            File.ReadAllText(Repository.Sample("reshim-hexa", "job.toml"))
                .Replace("before-1/esc.csv", esc, StringComparison.Ordinal)
                .Replace("\"airframe.toml", $"\"{Repository.Sample("reshim-hexa", "airframe.toml")}", StringComparison.Ordinal)
                .Replace("\"survey.csv", $"\"{Repository.Sample("reshim-hexa", "survey.csv")}", StringComparison.Ordinal)
                .Replace("\"before-1/imu", $"\"{Repository.Sample("reshim-hexa", "before-1")}/imu", StringComparison.Ordinal)
                .Replace("\"after-1/", $"\"{Repository.Sample("reshim-hexa", "after-1")}/", StringComparison.Ordinal)
        );

        CommandRun run = CommandRun.Of("compare", job),
            asJson = CommandRun.Of("compare", job, "--json", "-");

        Assert.Contains("No speeds were logged for M3 in flight before.", run.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        JsonElement result = asJson.Json();
        Assert.Equal("improved", result.GetProperty("verdict").GetString());
        JsonElement speeds = Assert.Single(
            result.GetProperty("conditions").EnumerateArray(),
            c => c.GetProperty("name").GetString() == "rotor speeds"
        );
        Assert.Equal("M3 found", speeds.GetProperty("before").GetString());
        Assert.Equal("as logged", speeds.GetProperty("after").GetString());
        Assert.Contains(
            result.GetProperty("reasons").EnumerateArray(),
            r => r.GetString()!.StartsWith("No speeds were logged for M3", StringComparison.Ordinal)
        );

        // Order 1 of the motor with the largest tilt falls by 8 dB with logged speeds too (truth.json).
        JsonElement order1 = result
            .GetProperty("motors")
            .EnumerateArray()
            .Single(m => m.GetProperty("id").GetString() == "M3")
            .GetProperty("orders")[0];
        Assert.Equal("improved", order1.GetProperty("call").GetString());
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void The_console_says_that_speeds_were_found_in_the_vibration()
    {
        CommandRun run = CommandRun.Of(
            "flight",
            "--imu",
            Repository.Sample("reshim-hexa", "before-1", "imu.csv"),
            "--esc",
            Without("_rpm"),
            "--airframe",
            Repository.Sample("reshim-hexa", "airframe.toml"),
            "--plain"
        );

        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Contains("found from lines in the vibration", run.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
    }

    [Fact]
    [Trait("Category", "Slow")]
    public void Without_speeds_and_commands_no_motor_is_named()
    {
        JsonElement result = Flight(Without("_rpm", "_command_pct"));
        Assert.All(
            result.GetProperty("motors").EnumerateArray(),
            m => Assert.Equal(JsonValueKind.Null, m.GetProperty("rpm_mean").ValueKind)
        );
        string warning = result
            .GetProperty("warnings")
            .EnumerateArray()
            .Single(w => w.GetProperty("code").GetString() == "no-speeds")
            .GetProperty("text")
            .GetString()!;
        Assert.Contains("rpm, but not which motor makes which line", warning, StringComparison.Ordinal);
    }

    private static JsonElement Flight(string esc)
    {
        CommandRun run = CommandRun.Of(
            "flight",
            "--imu",
            Repository.Sample("reshim-hexa", "before-1", "imu.csv"),
            "--esc",
            esc,
            "--airframe",
            Repository.Sample("reshim-hexa", "airframe.toml"),
            "--json",
            "-"
        );
        Assert.Equal(ExitCode.Done, run.ExitCode);
        return run.Json();
    }

    /// <summary>The sample's telemetry without the columns whose headers have one of the given endings.</summary>
    private string Without(params string[] endings)
    {
        string[][] rows = [.. File.ReadLines(Repository.Sample("reshim-hexa", "before-1", "esc.csv")).Select(l => l.Split(','))];
        int[] kept =
        [
            .. Enumerable.Range(0, rows[0].Length).Where(c => !endings.Any(e => rows[0][c].EndsWith(e, StringComparison.Ordinal))),
        ];
        return _scratch.File("esc.csv", string.Join('\n', rows.Select(r => string.Join(',', kept.Select(c => r[c])))) + "\n");
    }
}
