using VibeCheck.Core.Airframes;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;

namespace VibeCheck.Logs.Tests;

public sealed class TomlRewriteTests
{
    private const string Airframe = """
        # The old hexa, rebuilt in spring.
        name = "Demo hexa"   # painted on the canopy
        note = "not a key of ours"

        # weighed with both batteries
        mass_kg = 6.8
        [bolts]
        across_mm = 25   # measured twice
        along_mm = 25
        # front right
        [[motor]]
        id = "M1"
        azimuth_deg = 45
        arm_m = 0.3   # to the axis
        spin = "cw"
        blades = 2
        # rear left: bearing changed
        [[motor]]
        id = "M2"
        azimuth_deg = 225
        arm_m = 0.3
        spin = "ccw"   # looks the other way from below
        blades = 2

        """;

    private static string Rewritten(string now, Func<Airframe, Airframe> change) =>
        TomlRewrite.Of(now, AirframeText.Of(change(AirframeFile.ReadText(now, "airframe.toml")), null), AirframeText.Keys);

    [Fact]
    public void A_value_is_changed_in_place_and_everything_else_stays()
    {
        string text = Rewritten(Airframe, a => a with { MassKg = 7.1 });

        // The level that the file left out is now written; it has the default value that the omission meant.
        Assert.Equal(
            Airframe.Replace("6.8", "7.1", StringComparison.Ordinal),
            text.Replace("level = \"single\"\n", "", StringComparison.Ordinal)
        );
        Assert.Equal(7.1, AirframeFile.ReadText(text, "airframe.toml").MassKg);
    }

    [Fact]
    public void Nothing_changed_is_nothing_written_the_second_time()
    {
        string once = Rewritten(Airframe, a => a);
        Assert.Equal(once, Rewritten(once, a => a));
    }

    [Fact]
    public void A_removed_motor_takes_its_comments_and_no_others()
    {
        string text = Rewritten(Airframe, a => a with { Motors = [a.Motors[1]] });
        Assert.DoesNotContain("M1", text, StringComparison.Ordinal);
        Assert.DoesNotContain("front right", text, StringComparison.Ordinal);
        Assert.Contains("# rear left: bearing changed\n[[motor]]\nid = \"M2\"", text, StringComparison.Ordinal);
        Assert.Contains("# looks the other way from below", text, StringComparison.Ordinal);
    }

    [Fact]
    public void An_added_motor_is_written_after_the_one_it_follows()
    {
        string text = Rewritten(
            Airframe,
            a => a with { Motors = [a.Motors[0], a.Motors[1] with { Id = "M3", AzimuthDeg = 135 }, a.Motors[1]] }
        );
        Assert.Equal(["M1", "M3", "M2"], AirframeFile.ReadText(text, "airframe.toml").Motors.Select(m => m.Id));
        Assert.Contains("# front right", text, StringComparison.Ordinal);
        Assert.Contains("# rear left: bearing changed\n[[motor]]\nid = \"M2\"", text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_key_that_goes_leaves_the_keys_around_it()
    {
        string text = Rewritten(Airframe, a => a with { MassKg = null });
        Assert.DoesNotContain("mass_kg", text, StringComparison.Ordinal);
        Assert.Contains("# weighed with both batteries", text, StringComparison.Ordinal);
        Assert.Null(AirframeFile.ReadText(text, "airframe.toml").MassKg);
    }

    [Fact]
    public void A_key_replaces_its_own_line_that_was_commented_out()
    {
        string bare = AirframeText.Of(AirframeFile.ReadText(Airframe, "airframe.toml") with { MassKg = null }, null);
        Assert.Contains("# mass_kg = 6.8", bare, StringComparison.Ordinal);
        string text = Rewritten(bare, a => a with { MassKg = 5 });
        Assert.Contains("\nmass_kg = 5\n", text, StringComparison.Ordinal);
        Assert.DoesNotContain("# mass_kg", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Line_ends_of_the_file_stay()
    {
        string text = Rewritten(Airframe.ReplaceLineEndings("\r\n"), a => a with { MassKg = 7.1 });
        Assert.DoesNotContain("\n", text.Replace("\r\n", "", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    [Fact]
    public void A_flight_that_goes_to_the_other_side_keeps_its_comments_and_a_history_keeps_its_stages()
    {
        const string Now = """
            title = "Job"
            [[before]]
            imu = ["a.csv"]
            ambient_c = 21.0   # in the shade
            # the windy one
            [[before]]
            imu = "b.csv"

            [[stage]]
            name = "as built"
            date = "2026-03-01"

            """;
        JobFlight Flight(string imu, double? ambientC) =>
            new()
            {
                Files = new([imu], []),
                AmbientC = ambientC,
                Line = null,
                HoverS = ambientC is null ? new TimeInterval(12.5, 80) : null,
            };
        Job job = new()
        {
            Path = "job.toml",
            Title = "Job",
            Airframe = null,
            Before = [Flight("a.csv", 21)],
            After = [Flight("b.csv", null)],
            Options = new ComparisonOptions(),
        };
        string text = TomlRewrite.Of(Now, JobText.Of(job, ".", null), JobText.Keys);
        Assert.Equal(
            Now.Replace(
                "# the windy one\n[[before]]\nimu = \"b.csv\"\n",
                "# the windy one\n[[after]]\nimu = \"b.csv\"\nhover_s = [12.5, 80]\n",
                StringComparison.Ordinal
            ),
            text
        );
    }

    [Fact]
    public void Invalid_TOML_is_replaced() => Assert.Equal("a = 1\n", TomlRewrite.Of("a = = 2", "a = 1\n", new HashSet<string> { "a" }));
}
