namespace VibeCheck.Cli.Tests;

/// <summary>The output for the builder of a coaxial aircraft: hanging motors, mounts with two distances, motors not read yet.</summary>
public sealed class CoaxialSurveyTests : IDisposable
{
    private const string Header = "motor,when,where,direction,angle_deg,low_side\n";

    private readonly ScratchFolder _scratch = new();

    public CoaxialSurveyTests()
    {
        string motors = string.Concat(
            Enumerable
                .Range(0, 8)
                .Select(i =>
                    $"""
                        [[motor]]
                        id = "M{i + 1}"
                        azimuth_deg = {45 + 90 * (i / 2)}
                        arm_m = 0.35
                        spin = "{(i % 4 is 0 or 3 ? "cw" : "ccw")}"
                        level = "{(i % 2 == 0 ? "upper" : "lower")}"

                        """
                )
        );
        _scratch.File(
            "airframe.toml",
            "name = \"Bench X8\"\nmass_kg = 9\ntorque_per_thrust_m = 0.018\n[bolts]\npattern = \"16x19\"\n[shim_kit]\nthickness_mm = "
                + "[0.05, 0.1, 0.2]\nmax_stack = 3\n"
                + motors
        );
    }

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public void A_hanging_motor_is_shimmed_on_the_other_side_with_the_reason_and_the_view_from_below()
    {
        string survey = _scratch.File("survey.csv", Header + Readings("M2", "0.45,right"));
        string output = Run("shims", survey, "--airframe", _scratch.Name("airframe.toml"), "--card", _scratch.Name("card.html"));

        Assert.Contains("left 0.1", output, StringComparison.Ordinal);
        Assert.Contains(
            "M2 hangs below the mount: a shim there pushes its side of the motor down, not up.",
            output.ReplaceLineEndings(" "),
            StringComparison.Ordinal
        );
        string[] sketch =
        [
            .. output.Split('\n').SkipWhile(l => !l.Contains("as you see it from below", StringComparison.Ordinal)).Skip(1).Take(7),
        ];

        // Right low on a hanging motor: shims on the left, which is drawn at the right in the view from below.
        Assert.Contains(
            sketch,
            l => l.IndexOf("right", StringComparison.Ordinal) is >= 0 and int right && right < l.IndexOf("left", StringComparison.Ordinal)
        );
        Assert.All(
            sketch.Where(l => l.Contains("0.1", StringComparison.Ordinal)),
            l => Assert.True(l.IndexOf("none", StringComparison.Ordinal) < l.IndexOf("0.1", StringComparison.Ordinal), l)
        );

        string card = File.ReadAllText(_scratch.Name("card.html"));
        Assert.Contains("those of lower motors from below, as you see them", card, StringComparison.Ordinal);
        Assert.Contains("Bolts of M2 from below", card, StringComparison.Ordinal);
        Assert.Contains("out (from below)", card, StringComparison.Ordinal);

        // Boxes can be ticked on a touch screen, without a script.
        Assert.Contains("<label><input type=\"checkbox\" class=\"box\">torque</label>", card, StringComparison.Ordinal);
    }

    [Fact]
    public void A_pattern_with_two_distances_says_which_lies_where()
    {
        string survey = _scratch.File("survey.csv", Header + Readings("M1", "0.45,right"));
        Run("shims", survey, "--airframe", _scratch.Name("airframe.toml"), "--card", _scratch.Name("card.html"));
        string card = File.ReadAllText(_scratch.Name("card.html"));
        Assert.Contains("16 mm from right-out to left-in, 19 mm from right-in to left-out", card, StringComparison.Ordinal);
        Assert.Contains(">16</text>", card, StringComparison.Ordinal);
        Assert.Contains(">19</text>", card, StringComparison.Ordinal);
    }

    [Fact]
    public void A_motor_that_nobody_read_is_not_read_yet_rather_than_to_measure_again()
    {
        string survey = _scratch.File("survey.csv", Header + Readings("M1", "0.45,right"));
        string output = Run("shims", survey, "--airframe", _scratch.Name("airframe.toml"));
        Assert.StartsWith("Bench X8: shim M1; M2, M3, M4, M5, M6, M7 and M8 not read yet.", output, StringComparison.Ordinal);
        Assert.DoesNotContain("measure again", output, StringComparison.Ordinal);

        // The same reason for seven motors is one entry.
        Assert.Single(output.Split('\n'), l => l.Contains("nothing was read here", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("0.1,right", "leave", 4)]
    [InlineData("0.15,right", "measure M1 again", 1)]
    public void Headline_and_reason_say_the_same(string reading, string headline, int times)
    {
        string survey = _scratch.File("survey.csv", Header + string.Concat(Enumerable.Repeat(Once("M1", reading), times)));
        string output = Run("shims", survey, "--airframe", _scratch.Name("airframe.toml")).ReplaceLineEndings(" ");
        Assert.Contains(headline, output.Split(';')[0], StringComparison.Ordinal);
        Assert.Equal(headline == "leave", output.Contains("would change little", StringComparison.Ordinal));
    }

    [Fact]
    public void Sides_and_states_never_share_a_word()
    {
        string after =
            "M1,as-left,frame,across,0,level\nM1,as-left,mount,across,0.4,left\nM1,as-left,frame,along,0,level\n"
            + "M1,as-left,mount,along,0,level\n";
        string survey = _scratch.File("survey.csv", Header + Readings("M1", "0.45,right") + after);
        string output = Run("shims", survey, "--airframe", _scratch.Name("airframe.toml"), "--card", _scratch.Name("card.html"));
        Assert.DoesNotContain("as left", output, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("then left", output, StringComparison.Ordinal);
        Assert.DoesNotContain("as left", File.ReadAllText(_scratch.Name("card.html")), StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void Nothing_on_the_card_is_smaller_than_nine_points()
    {
        string survey = _scratch.File(
            "survey.csv",
            Header + string.Concat(Enumerable.Range(1, 8).Select(i => Readings($"M{i}", "0.45,right")))
        );
        Run("shims", survey, "--airframe", _scratch.Name("airframe.toml"), "--card", _scratch.Name("card.html"));
        string card = File.ReadAllText(_scratch.Name("card.html"));
        foreach (
            System.Text.RegularExpressions.Match svg in System.Text.RegularExpressions.Regex.Matches(
                card,
                "<svg viewBox=\"\\S+ \\S+ (\\S+) \\S+\" width=\"(\\d+)mm\".*?</svg>",
                System.Text.RegularExpressions.RegexOptions.Singleline
            )
        )
        {
            double ptPerUnit = Number(svg.Groups[2].Value) / Number(svg.Groups[1].Value) * 72 / 25.4;
            Assert.All(
                System.Text.RegularExpressions.Regex.Matches(svg.Value, "font-size=\"([\\d.]+)\""),
                size => Assert.True(Number(size.Groups[1].Value) * ptPerUnit >= 8.95, size.Value)
            );
        }

        Assert.All(
            System.Text.RegularExpressions.Regex.Matches(card, "font-size:([\\d.]+)pt"),
            size => Assert.True(Number(size.Groups[1].Value) >= 9, size.Value)
        );
    }

    [Fact]
    public void With_inches_no_length_is_in_millimetres()
    {
        string survey = _scratch.File("survey.csv", Header + Readings("M1", "0.45,right"));
        string output = Run("shims", survey, "--airframe", _scratch.Name("airframe.toml"), "--inch", "--card", _scratch.Name("card.html"));
        Assert.DoesNotContain(" mm", output, StringComparison.Ordinal);
        string words = System.Text.RegularExpressions.Regex.Replace(
            File.ReadAllText(_scratch.Name("card.html")),
            "<style>.*?</style>|<[^>]*>",
            " ",
            System.Text.RegularExpressions.RegexOptions.Singleline
        );
        Assert.DoesNotContain(" mm", words, StringComparison.Ordinal);
    }

    [Fact]
    public void Bolts_may_differ_by_motor()
    {
        string airframe = File.ReadAllText(_scratch.Name("airframe.toml"))
            .Replace("id = \"M1\"", "id = \"M1\"\n#own", StringComparison.Ordinal);
        int end = airframe.IndexOf("[[motor]]", airframe.IndexOf("#own", StringComparison.Ordinal), StringComparison.Ordinal);
        _scratch.File("own.toml", airframe.Insert(end, "[motor.bolts]\nacross_mm = 60\nalong_mm = 60\n"));
        string survey = _scratch.File("survey.csv", Header + Readings("M1", "0.2,right") + Readings("M3", "0.45,right"));
        string output = Run("shims", survey, "--airframe", _scratch.Name("own.toml"));

        // 60 mm x tan(0.2 deg) = 0.209 mm.
        Assert.Contains("right 0.2", output, StringComparison.Ordinal);
        Assert.Contains("right 0.1", output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_bulls_eye_level_gives_both_directions_with_the_low_side_opposite_the_bubble()
    {
        CommandRun.Answering(
            "h\n0\n0\n0.3 @ 2\nq\n",
            "shims",
            _scratch.Name("typed.csv"),
            "--airframe",
            _scratch.Name("airframe.toml"),
            "--ask"
        );
        string[] lines = File.ReadAllLines(_scratch.Name("typed.csv"));

        // 2 o'clock is 60 degrees from outwards: 0.3 sin 60 = 0.26 to the right, 0.3 cos 60 = 0.15 outwards, both high.
        Assert.Contains("M1,as-found,mount,across,0.26,left,,,", lines);
        Assert.Contains("M1,as-found,mount,along,0.15,in,,,", lines);
    }

    private static double Number(string text) => double.Parse(text, System.Globalization.CultureInfo.InvariantCulture);

    private static string Readings(string motor, string across) => Once(motor, across) + Once(motor, across);

    private static string Once(string motor, string across) =>
        $"{motor},as-found,frame,across,0,level\n{motor},as-found,mount,across,{across}\n{motor},as-found,frame,along,0,level\n"
        + $"{motor},as-found,mount,along,0,level\n";

    private static string Run(params string[] args)
    {
        CommandRun run = CommandRun.Of(args);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        return run.Output;
    }
}
