namespace VibeCheck.Cli.Tests;

/// <summary>A number typed as an option is read as intended, or refused with the text found and what to give.</summary>
public sealed class NumberOptionTests
{
    private static readonly string _imu = Repository.Sample("reshim-hexa", "before-1", "imu.csv");
    private static readonly string _airframe = Repository.Sample("reshim-hexa", "airframe.toml");
    private static readonly string _survey = Repository.Sample("reshim-hexa", "survey.csv");

    /// <summary>Every option that takes a number: its command line, and a value out of range.</summary>
    public static TheoryData<string, string> All =>
        new()
        {
            { "chart --span", "0" },
            { "chart --span", "1001" },
            { "chart --span-in", "0.01" },
            { "shims S --airframe A --tolerance", "0" },
            { "shims S --airframe A --tolerance", "10,1" },
            { "flight --imu I --airframe A --ambient", "215" },
            { "flight --imu I --airframe A --ambient", "-61" },
            { "read I --imu-unit", "0" },
            { "read I --imu-unit", "1,5" },
            { "read I --counts-per-g", "0" },
            { "read I --rows-per-second", "1e9" },
            { "read I --clock-offset", "-1e300" },
            { "read I --max-unusable", "1,1" },
            { "flight --imu I --airframe A --orders", "201" },
            { "flight --imu I --airframe A --orders", "2.5" },
            { "flight --imu I --airframe A --orders", "," },
        };

    private static CommandRun Run(string line, string value) =>
        CommandRun.Of([
            .. line.Split(' ')
                .Select(w =>
                    w switch
                    {
                        "I" => _imu,
                        "A" => _airframe,
                        "S" => _survey,
                        _ => w,
                    }
                ),
            value,
        ]);

    private static void IsRefused(CommandRun run, string option, string value)
    {
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        string line = Assert.Single(run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries));
        Assert.StartsWith(option + ": ", line, StringComparison.Ordinal);
        Assert.Contains(value.Length > 40 ? value[..40] : value, line, StringComparison.Ordinal);
        Assert.Contains(". Give ", line, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(All))]
    public void A_value_out_of_range_is_refused_with_what_to_give(string line, string value) =>
        IsRefused(Run(line, value), line.Split(' ')[^1], value);

    [Theory]
    [MemberData(nameof(All))]
    public void Text_that_is_no_number_is_refused_on_every_option(string line, string ignored)
    {
        _ = ignored;
        foreach (
            string text in (string[])
                ["warm", "NaN", "Infinity", "-inf", "0x10", "1e400", "1.234,5", "1,234.5", "12 3", "2e", "٣", new('9', 5000)]
        )
        {
            IsRefused(Run(line, text), line.Split(' ')[^1], text.Split(',')[0]);
        }
    }

    [Theory]
    [MemberData(nameof(All))]
    public void An_empty_value_is_refused_on_every_option(string line, string ignored)
    {
        _ = ignored;
        Assert.Equal(ExitCode.WrongUsage, Run(line, "").ExitCode);
    }

    [Theory]
    [InlineData("--span", "28,6", 28.6)]
    [InlineData("--span", "28.6", 28.6)]
    [InlineData("--span-in", "1,125", 28.575)]
    public void A_decimal_comma_is_a_decimal_mark(string option, string value, double expected)
    {
        CommandRun run = CommandRun.Of("chart", option, value, "--json", "-");
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Equal(expected, run.Json().GetProperty("span_mm").GetDouble(), 1e-9);
    }

    [Fact]
    public void An_offset_below_zero_is_read_with_a_comma() =>
        Assert.Equal(ExitCode.Done, CommandRun.Of("read", _imu, "--clock-offset", "-0,25").ExitCode);

    [Fact]
    public void A_span_in_both_units_is_asked_about() =>
        Assert.Contains(
            "Give one of them.",
            CommandRun.Of("chart", "--span", "28.6", "--span-in", "1.125").Error,
            StringComparison.Ordinal
        );
}
