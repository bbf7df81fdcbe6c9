using System.Text.Json;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.Cli.Tests;

public sealed class ShimsCommandTests : IDisposable
{
    private const string Airframe = """
        name = "Demo quad"
        mass_kg = 2
        torque_per_thrust_m = 0.018
        [bolts]
        across_mm = 28.6
        along_mm = 28.6
        [shim_kit]
        thickness_mm = [0.1, 0.2, 0.3]
        max_stack = 2
        [[motor]]
        id = "M1"
        azimuth_deg = 45
        arm_m = 0.3
        spin = "cw"
        [[motor]]
        id = "M2"
        azimuth_deg = 135
        arm_m = 0.3
        spin = "ccw"
        [[motor]]
        id = "M3"
        azimuth_deg = 225
        arm_m = 0.3
        spin = "cw"
        [[motor]]
        id = "M4"
        azimuth_deg = 315
        arm_m = 0.3
        spin = "ccw"
        """;

    // The same on every page that the tool writes: it loads nothing, and no script runs.
    private const string Policy =
        """<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:">""";

    private static readonly string[] _onTheCard =
    [
        "M1",
        "M2",
        "M3",
        "M4",
        "shim right 0.2",
        "hub this way",
        "Propellers off",
        "size:letter",
        "torque",
        "after:",
    ];

    private readonly string _folder = Directory.CreateTempSubdirectory().FullName;

    public ShimsCommandTests() => File.WriteAllText(In("airframe.toml"), Airframe);

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string In(string name) => Path.Combine(_folder, name);

    private static (int Code, string Output, string Error) Run(string input, params string[] args)
    {
        using StringWriter output = new(),
            error = new();
        int code = VibeCheckApp.Run(args, new Terminal(output, error, new StringReader(input), isInteractive: false));
        return (code, output.ToString(), error.ToString());
    }

    private static string Survey(Func<int, string> mount) =>
        "motor,when,where,direction,angle_deg,low_side\n"
        + string.Concat(
            Enumerable
                .Range(1, 4)
                .Select(i =>
                    $"M{i},as-found,frame,across,0.0,level\nM{i},as-found,mount,across,{mount(i)}\nM{i},as-found,frame,along,0.0,level\n"
                    + $"M{i},as-found,mount,along,0.0,level\n"
                )
        );

    [Fact]
    public void Shims_gives_the_plan_as_the_contract_has_it()
    {
        File.WriteAllText(In("survey.csv"), Survey(i => i == 1 ? "0.4,right" : "0.0,level"));
        (int code, string output, _) = Run("", "shims", In("survey.csv"), "--airframe", In("airframe.toml"), "--json", "-");
        Assert.Equal(0, code);
        JsonElement plan = JsonDocument.Parse(output).RootElement;
        Assert.Equal("vibecheck.shims/1", plan.GetProperty("schema").GetString());
        JsonElement m1 = plan.GetProperty("motors")[0];
        Assert.Equal(
            ("M1", 0.4, 0.0, "shim", "right", 0.2),
            (
                m1.GetProperty("id").GetString(),
                m1.GetProperty("tilt_across_deg").GetDouble(),
                m1.GetProperty("tilt_along_deg").GetDouble(),
                m1.GetProperty("action").GetString(),
                m1.GetProperty("side").GetString(),
                m1.GetProperty("thickness_mm").GetDouble()
            )
        );
        Assert.Equal(
            "right-out:0.2 right-in:0.2 left-in: left-out:",
            string.Join(
                ' ',
                m1.GetProperty("bolts")
                    .EnumerateArray()
                    .Select(b =>
                        $"{b.GetProperty("place").GetString()}:{string.Join('+', b.GetProperty("stack_mm").EnumerateArray().Select(t => t.GetRawText()))}"
                    )
            )
        );
        JsonElement m2 = plan.GetProperty("motors")[1];
        Assert.Equal("leave", m2.GetProperty("action").GetString());
        Assert.Equal(JsonValueKind.Null, m2.GetProperty("side").ValueKind);
        JsonElement yaw = plan.GetProperty("yaw");
        Assert.True(yaw.GetProperty("moment_nm").GetDouble() > 0);
        Assert.True(yaw.GetProperty("split_predicted").GetDouble() > 0);
        Assert.Equal(JsonValueKind.Array, plan.GetProperty("cautions").ValueKind);
    }

    [Fact]
    public void Unknown_values_are_null_with_a_why()
    {
        File.WriteAllText(
            In("survey.csv"),
            "motor,when,where,direction,angle_deg,low_side\nM1,as-found,frame,across,0.0,level\nM1,as-found,mount,across,0.4,right\n"
        );
        JsonElement plan = JsonDocument
            .Parse(Run("", "shims", In("survey.csv"), "--airframe", In("airframe.toml"), "--json", "-").Output)
            .RootElement;
        JsonElement m2 = plan.GetProperty("motors")[1];
        Assert.Equal(("measure-again", "nothing was read here"), (m2.GetProperty("action").GetString(), m2.GetProperty("why").GetString()));
        Assert.Equal(JsonValueKind.Null, m2.GetProperty("tilt_across_deg").ValueKind);
        Assert.Equal(JsonValueKind.Null, plan.GetProperty("yaw").GetProperty("split_predicted").ValueKind);
        const string Unknown = "the tilt of M2 across its arm is not known";
        Assert.Equal(
            $"moment_nm: {Unknown}; split_predicted: {Unknown}; moment_after_nm: {Unknown}; split_after_predicted: {Unknown}; "
                + "cooler_group: the split is not known; cooler_group_thrust_change: the split is not known",
            plan.GetProperty("yaw").GetProperty("why").GetString()
        );
    }

    [Fact]
    public void The_console_answers_first_and_keeps_to_eighty_columns()
    {
        File.WriteAllText(In("survey.csv"), Survey(i => i is 1 or 3 ? "0.4,right" : "0.0,level"));
        string output = Run("", "shims", In("survey.csv"), "--airframe", In("airframe.toml"), "--budget").Output;
        Assert.StartsWith("Demo quad: shim M1 and M3; leave M2 and M4.", output, StringComparison.Ordinal);
        Assert.Contains(
            "The cw motors and their ESCs (M1, M3) should run cooler",
            output.ReplaceLineEndings(" "),
            StringComparison.Ordinal
        );
        Assert.Contains("Propellers off and battery out", output, StringComparison.Ordinal);
        Assert.All(output.Split('\n'), line => Assert.True(line.TrimEnd('\r').Length <= 80, line));
    }

    [Fact]
    public void Readings_as_left_answer_before_the_plan_they_came_from()
    {
        string left = string.Concat(
            Enumerable
                .Range(1, 3)
                .SelectMany(
                    i => new[] { "frame,across,0.0,level", $"mount,across,{(i == 2 ? "0.4,left" : "0.0,level")}" },
                    (i, place) => $"M{i},as-left,{place}\n"
                )
        );
        File.WriteAllText(In("survey.csv"), Survey(i => i is 1 or 3 ? "0.4,right" : "0.0,level") + left);
        string output = Run("", "shims", In("survey.csv"), "--airframe", In("airframe.toml")).Output.ReplaceLineEndings(" ");
        Assert.StartsWith(
            "Demo quad, after the work: M2 out of tolerance; M1 and M3 in tolerance; M4 not read yet. "
                + "As found, the plan was: shim M1 and M3; leave M2 and M4.",
            output,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void A_bad_survey_ends_with_code_3_and_one_line_that_says_where_and_what_to_do()
    {
        File.WriteAllText(In("survey.csv"), "motor,when,where,direction,angle_deg,low_side\nM7,as-found,frame,across,0.0,level\n");
        (int code, string output, string error) = Run("", "shims", In("survey.csv"), "--airframe", In("airframe.toml"));
        Assert.Equal((3, ""), (code, output));
        Assert.Equal(
            $"vibecheck: {In("survey.csv")}: line 2, column 1: there is no motor 'M7'. Write one of M1, M2, M3, M4, or * for the frame "
                + $"as a whole.",
            error.TrimEnd()
        );
    }

    [Fact]
    public void A_survey_is_typed_in_interrupted_and_continued()
    {
        string[] command = ["shims", In("typed.csv"), "--airframe", In("airframe.toml"), "--ask"];
        string first = Run("\n0.1 l\n0.3r, 0.3 r # warm\n\nq\n", command).Output;
        Assert.Contains("tilt across the arm: 0.40 right low, ± ", first, StringComparison.Ordinal);
        Assert.Contains("Stopped; the same command continues from here. 14 places are not read.", first, StringComparison.Ordinal);
        Assert.Equal(
            "motor,when,where,direction,angle_deg,low_side,gauge,knock,note\nM1,as-found,frame,across,0.1,left,,,\n"
                + "M1,as-found,mount,across,0.3,right,,,warm\nM1,as-found,mount,across,0.3,right,,,\n",
            File.ReadAllText(In("typed.csv"))
        );

        // Along at M1 is skipped again; M2 is mistyped twice, removed once, and its along direction is left out; M3 and M4 are not read.
        string second = Run("\n0\n44 r\n0.4\n0.4 l\nb\n0.2 l\n\nq\n", command).Output;
        Assert.Contains("44° is over 10°: a typing error?", second, StringComparison.Ordinal);
        Assert.Contains("Say which side is low: r/l.", second, StringComparison.Ordinal);
        Assert.Contains("Taken back: 0.4° left low.", second, StringComparison.Ordinal);
        Assert.EndsWith(
            "M2,as-found,frame,across,0,level,,,\nM2,as-found,mount,across,0.2,left,,,\n",
            File.ReadAllText(In("typed.csv")),
            StringComparison.Ordinal
        );
        Assert.Contains("Demo quad: shim M1", second, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("NaN r")]
    [InlineData("nan/0.4 r")]
    [InlineData("Infinity r")]
    [InlineData("1e400 l")]
    public void An_invalid_angle_is_asked_again_and_never_saved(string answer)
    {
        Run($"\n{answer}\n0.2 r\nq\n", "shims", In("typed.csv"), "--airframe", In("airframe.toml"), "--ask");
        Assert.Equal(
            "motor,when,where,direction,angle_deg,low_side,gauge,knock,note\nM1,as-found,frame,across,0.2,right,,,\n",
            File.ReadAllText(In("typed.csv"))
        );
    }

    [Theory]
    [InlineData("warm, said \"ok\"; left")]
    [InlineData("\"")]
    [InlineData("=1+1")]
    [InlineData("# again # and again")]
    public void A_note_is_read_back_as_it_was_typed(string note)
    {
        string[] command = ["shims", In("typed.csv"), "--airframe", In("airframe.toml"), "--ask"];
        Run($"\n0.2 r # {note}\n0.3 r\nq\n", command);
        var readings = SurveyFile.ReadReadings(In("typed.csv"), AirframeFile.Read(In("airframe.toml")));
        Assert.Equal([note, ""], readings.Select(r => r.Note));
    }

    [Fact]
    public void A_survey_that_is_continued_keeps_its_link_and_file_mode()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("this system has neither modes nor links for everybody");
            return;
        }

        File.WriteAllText(In("real.csv"), "motor,when,where,direction,angle_deg,low_side\nM1,as-found,frame,across,0.1,left\n");
        File.SetUnixFileMode(In("real.csv"), UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead);
        File.CreateSymbolicLink(In("typed.csv"), "real.csv");
        Run("0.3 r\nb\n0.4 r\nq\n", "shims", In("typed.csv"), "--airframe", In("airframe.toml"), "--ask");
        Assert.Equal("real.csv", new FileInfo(In("typed.csv")).LinkTarget);
        Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.GroupRead, File.GetUnixFileMode(In("real.csv")));
        Assert.EndsWith(
            "M1,as-found,frame,across,0.1,left\nM1,as-found,mount,across,0.4,right\n",
            File.ReadAllText(In("real.csv")),
            StringComparison.Ordinal
        );
        Assert.Equal(3, Directory.GetFileSystemEntries(_folder).Length);
    }

    [Fact]
    public void A_reading_typed_one_question_too_early_is_not_lost_unseen()
    {
        string typed = Run("0.1 l\n\n0.1 l\nq\n", "shims", In("typed.csv"), "--airframe", In("airframe.toml"), "--ask").Output;
        Assert.Contains("Type h or press Enter; the readings come next.", typed, StringComparison.Ordinal);
        Assert.EndsWith("M1,as-found,frame,across,0.1,left,,,\n", File.ReadAllText(In("typed.csv")), StringComparison.Ordinal);
    }

    [Fact]
    public void A_side_that_the_gauge_does_not_show_is_found_by_a_trial_shim()
    {
        Run("\n0\n0.4 ?\n0.6\n0.2\nq\n", "shims", In("typed.csv"), "--airframe", In("airframe.toml"), "--ask");
        Assert.EndsWith("M1,as-found,mount,across,0.4,right,,,\n", File.ReadAllText(In("typed.csv")), StringComparison.Ordinal);
    }

    [Fact]
    public void Where_the_shims_make_the_hover_unknown_this_is_reported()
    {
        // A hexa with one arm reversed can barely balance: with the tilts as found it can, with those of the plan it cannot.
        string odd = File.ReadAllText(Repository.Sample("reshim-hexa", "airframe.toml"))
            .Replace("azimuth_deg = 210.0", "azimuth_deg = -1", StringComparison.Ordinal);
        File.WriteAllText(In("odd.toml"), odd);
        (int code, string output, _) = Run("", "shims", Repository.Sample("reshim-hexa", "survey.csv"), "--airframe", In("odd.toml"));
        Assert.Equal(0, code);
        Assert.Contains("what it will show with these shims is not known", output.ReplaceLineEndings(" "), StringComparison.Ordinal);
    }

    [Fact]
    public void A_decimal_comma_is_one_reading_and_an_ambiguous_text_is_asked_about()
    {
        string typed = Run("\n0,5 r\n0, 5 r\n0,4 r\nq\n", "shims", In("typed.csv"), "--airframe", In("airframe.toml"), "--ask").Output;
        Assert.Contains("'0, 5' may be one reading of 0.5 or two: type 0.5, or 0; 5 for two.", typed, StringComparison.Ordinal);
        Assert.EndsWith(
            "note\nM1,as-found,frame,across,0.5,right,,,\nM1,as-found,mount,across,0.4,right,,,\n",
            File.ReadAllText(In("typed.csv")),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Back_removes_all_readings_typed_in_one_line()
    {
        string typed = Run(
            "\n0.1 l\n0.3 r; 0.4 r\nback\n0.2 r\nq\n",
            "shims",
            In("typed.csv"),
            "--airframe",
            In("airframe.toml"),
            "--ask"
        ).Output;
        Assert.Contains("Taken back: 0.3° right low, 0.4° right low.", typed, StringComparison.Ordinal);
        Assert.EndsWith(
            "note\nM1,as-found,frame,across,0.1,left,,,\nM1,as-found,mount,across,0.2,right,,,\n",
            File.ReadAllText(In("typed.csv")),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void A_reading_below_zero_asks_for_the_side()
    {
        string typed = Run("\n0\n-0.4\nr\n-0.2\n\nq\n", "shims", In("typed.csv"), "--airframe", In("airframe.toml"), "--ask").Output;
        Assert.Contains("A minus sign does not say which side is low. Which one is it (r/l)?", typed, StringComparison.Ordinal);
        Assert.Contains(
            "Nothing was saved: type the reading again, without a sign and with its low side.",
            typed,
            StringComparison.Ordinal
        );
        Assert.EndsWith("M1,as-found,mount,across,0.4,right,,,\n", File.ReadAllText(In("typed.csv")), StringComparison.Ordinal);
    }

    [Fact]
    public void Contradictions_of_airframe_and_survey_are_reported_by_the_command()
    {
        File.WriteAllText(
            In("odd.toml"),
            Airframe.Replace("\"ccw\"", "\"cw\"", StringComparison.Ordinal).Replace("mass_kg", "mas_kg", StringComparison.Ordinal)
        );
        File.WriteAllText(In("survey.csv"), Survey(_ => "0.0,level").Replace("low_side", "low_side,notes", StringComparison.Ordinal));
        (int code, _, string error) = Run("", "shims", In("survey.csv"), "--airframe", In("odd.toml"));
        Assert.Equal(0, code);
        Assert.Equal(
            [
                $"{In("odd.toml")}: line 2: 'mas_kg' means nothing here and is not used; did you mean 'mass_kg'?",
                $"{In("odd.toml")}: line 14: all 4 motors turn cw, so nothing balances their torque: is every spin right?",
                $"{In("survey.csv")}: header, column 7: 'notes' means nothing here and is not used; did you mean 'note'?",
            ],
            error.ReplaceLineEndings("\n").TrimEnd().Split('\n')
        );
    }

    [Fact]
    public void The_card_is_one_page_with_every_motor_and_the_cautions()
    {
        File.WriteAllText(In("survey.csv"), Survey(i => i == 1 ? "0.4,right" : "0.0,level"));
        Run("", "shims", In("survey.csv"), "--airframe", In("airframe.toml"), "--card", In("card.html"), "--paper", "letter");
        string card = File.ReadAllText(In("card.html"));
        Assert.All(_onTheCard, text => Assert.Contains(text, card, StringComparison.Ordinal));
        Assert.Contains(Policy, card, StringComparison.Ordinal);
        Assert.DoesNotContain("http:", card, StringComparison.Ordinal);
        Assert.DoesNotContain("https:", card, StringComparison.Ordinal);
    }

    [Fact]
    public void An_earlier_survey_shows_whether_it_held()
    {
        File.WriteAllText(
            In("last.csv"),
            "motor,when,where,direction,angle_deg,low_side\nM1,as-left,frame,across,0.0,level\nM1,as-left,mount,across,0.0,level\n"
        );
        File.WriteAllText(In("survey.csv"), Survey(i => i == 1 ? "0.4,right" : "0.0,level"));
        Assert.Contains(
            "M1 moved by 0.40° ± 0.14° across the arm since the last reading as left",
            Run("", "shims", In("survey.csv"), "--airframe", In("airframe.toml"), "--last", In("last.csv"))
                .Output.ReplaceLineEndings(" ")
                .Replace("     ", " ", StringComparison.Ordinal),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Chart_prints_writes_a_page_and_gives_JSON()
    {
        (int code, string output, _) = Run("", "chart", "--span", "28.6", "--report", In("chart.html"));
        Assert.Equal(0, code);
        Assert.Contains("  0.40°  0.200 mm  0.0079 in  |", output, StringComparison.Ordinal);
        Assert.All(output.Split('\n'), line => Assert.True(line.TrimEnd('\r').Length <= 80, line));
        Assert.Contains(Policy, File.ReadAllText(In("chart.html")), StringComparison.Ordinal);
        Assert.Contains("Shim chart: 28.6 mm (1.126 in) between bolts", File.ReadAllText(In("chart.html")), StringComparison.Ordinal);
        JsonElement chart = JsonDocument.Parse(Run("", "chart", "--span", "28.6", "--json", "-").Output).RootElement;
        Assert.Equal(28.6, chart.GetProperty("span_mm").GetDouble());
    }

    [Theory]
    [InlineData("chart")]
    [InlineData("chart --span 0")]
    [InlineData("shims survey.csv")]
    [InlineData("shims survey.csv --airframe a.toml --tolerance -1")]
    public void Wrong_usage_ends_with_code_2(string line) => Assert.Equal(2, Run("", line.Split(' ')).Code);
}
