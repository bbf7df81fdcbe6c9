using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Tests;

public sealed class AirframeFileTests : IDisposable
{
    private const string Motor = "\n[[motor]]\nid = \"M1\"\nazimuth_deg = 30.0\narm_m = 0.42\nspin = \"cw\"\n";

    private readonly string _folder = Directory.CreateTempSubdirectory().FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private Airframe Read(string text)
    {
        string path = Path.Combine(_folder, "airframe.toml");
        File.WriteAllText(path, text);
        return AirframeFile.Read(path);
    }

    private string FaultOf(string text) =>
        Assert
            .Throws<InputFaultException>(() => Read(text))
            .Message.Replace(_folder + Path.DirectorySeparatorChar, "", StringComparison.Ordinal);

    [Fact]
    public void Every_key_of_the_file_is_read()
    {
        Airframe a = Read(
            """
            name = "Demo hexa"
            mass_kg = 6.8
            torque_per_thrust_m = 0.018
            [bolts]
            across_mm = 28.6
            along_mm = 30
            [shim_kit]
            thickness_mm = [0.1, 0.2, 0.3]
            max_stack = 2
            count = [20, 10, 4]
            [gauge]
            resolution_deg = 0.05
            accuracy_deg = 0.1
            [screws]
            length_mm = 10
            diameter_mm = 3
            clamped_mm = 3
            thread_depth_mm = 7
            [[motor]]
            id = "M1"
            azimuth_deg = 30.0
            arm_m = 0.42
            spin = "ccw"
            level = "lower"
            blades = 3
            pole_pairs = 14
            """
        );
        Assert.Equal(("Demo hexa", 6.8, 0.018), (a.Name, a.MassKg!.Value, a.TorquePerThrustM!.Value));
        Assert.Equal(new Motor("M1", 30, 0.42, Spin.CounterClockwise, MotorLevel.Lower, 3, 14), Assert.Single(a.Motors));
        Assert.Equal((28.6, 30), (a.Bolts!.AcrossSpanMm, a.Bolts.AlongSpanMm));
        Assert.Equal([20, 10, 4], a.ShimKit!.Counts!);
        Assert.Equal(0.05, a.Gauge!.ResolutionDeg);
        Assert.Equal(new MountScrews(10, 3, 3, 7), a.Screws);
        Assert.Equal(["line 24: M1 is a lower motor, but no upper one stands on its arm: is it single?"], a.Remarks);
    }

    [Fact]
    public void Blades_pole_pairs_and_level_may_be_left_out() =>
        Assert.Equal(new Motor("M1", 30, 0.42, Spin.Clockwise, MotorLevel.Single, 2, null), Read("name = \"x\"" + Motor).Motors[0]);

    [Fact]
    public void A_key_without_meaning_is_named_and_ignored() =>
        Assert.Equal(
            ["line 2: 'mas_kg' means nothing here and is not used; did you mean 'mass_kg'?"],
            Read("name = \"x\"\nmas_kg = 3" + Motor).Remarks
        );

    [Theory]
    [InlineData("[bolt]\nacross_mm = 16\n", "line 1: section [bolt] means nothing here and is not used; did you mean 'bolts'?")]
    [InlineData("bolts.across_mm = 16\n", "line 1: 'bolts.across_mm' means nothing here and is not used; write it below a line [bolts]")]
    [InlineData("colour = \"red\"\n", "line 1: 'colour' means nothing here and is not used")]
    public void A_section_or_key_without_meaning_is_named_with_what_was_probably_meant(string text, string expected) =>
        Assert.Equal([expected], Read(text + Motor).Remarks);

    [Theory]
    [InlineData("mass_kg = \"6,8\"", 6.8)]
    [InlineData("mass_kg = \"6.8\"", 6.8)]
    [InlineData("mass_kg = \"1,234\"", 1.234)]
    [InlineData("mass_kg = 7", 7)]
    public void A_number_in_quotes_may_have_a_decimal_comma(string text, double expected) =>
        Assert.Equal(expected, Read(text + Motor).MassKg);

    private const string Quad = """
        mass_kg = 2
        [bolts]
        across_mm = 16
        along_mm = 19
        [[motor]]
        id = "M1"
        azimuth_deg = 45
        arm_m = 0.3
        spin = "cw"
        pole_pairs = 7
        [[motor]]
        id = "M2"
        azimuth_deg = 135
        arm_m = 0.3
        spin = "ccw"
        pole_pairs = 7
        [[motor]]
        id = "M3"
        azimuth_deg = 225
        arm_m = 0.3
        spin = "cw"
        pole_pairs = 7
        [[motor]]
        id = "M4"
        azimuth_deg = 315
        arm_m = 0.3
        spin = "ccw"
        pole_pairs = 7
        """;

    [Fact]
    public void An_airframe_without_contradictions_is_not_asked_about() => Assert.Empty(Read(Quad).Remarks);

    [Theory]
    [InlineData("ccw", "cw", "line 9: all 4 motors turn cw, so nothing balances their torque: is every spin right?")]
    [InlineData(
        "225\narm_m = 0.3\nspin = \"cw\"",
        "225\narm_m = 0.3\nspin = \"ccw\"",
        "line 9: of 4 motors 1 turn cw and 3 ccw: is every spin right?"
    )]
    [InlineData(
        "azimuth_deg = 45",
        "azimuth_deg = 45\nlevel = \"upper\"",
        "line 8: M1 is an upper motor, but no lower one stands on its arm: is it single?"
    )]
    [InlineData(
        "azimuth_deg = 45\narm_m = 0.3",
        "azimuth_deg = 45\narm_m = 3",
        "line 8: M1's arm of 3 m is 10 times as long as M2's: is one in another unit?"
    )]
    [InlineData("azimuth_deg = 135", "azimuth_deg = 50", "line 13: the arms of M1 and M2 are 5° apart: is one azimuth_deg wrong?")]
    [InlineData(
        "mass_kg = 2",
        "mass_kg = 2000",
        "line 1: 2000 kg is much for arms of 0.3 m: is the mass in kg and are the arms in metres?"
    )]
    [InlineData("across_mm = 16", "across_mm = 160", "line 4: the bolts lie 160 mm across and 19 mm along the arm: is one of them wrong?")]
    [InlineData(
        "along_mm = 19",
        "along_mm = 19\npattern = \"16x19\"",
        "line 3: 'across_mm' is not used, because the pattern is 16x19: which of the two is right?"
    )]
    [InlineData(
        "along_mm = 19",
        "along_mm = 19\npattern = \"square\"",
        "line 5: a square pattern measures 16 mm across and 19 mm along the arm: is it a rectangle?"
    )]
    [InlineData(
        "along_mm = 19",
        "along_mm = 19\nalong_in = 0.75",
        "line 5: 'along_in' is not used, because along_mm is given too: which of the two is right?"
    )]
    [InlineData("azimuth_deg = 45", "azimuth_deg = 45\nblades = 1", "line 8: M1 has one blade: is that so?")]
    [InlineData("azimuth_deg = 135", "azimuth_deg = 135\nblades = 3", "line 14: M2 has 3 blades and M1 has 2: is that so?")]
    [InlineData(
        "225\narm_m = 0.3\nspin = \"cw\"\npole_pairs = 7",
        "225\narm_m = 0.3\nspin = \"cw\"\npole_pairs = 14",
        "line 22: M3 has 14 pole pairs and M1 has 7: are the motors different?"
    )]
    [InlineData(
        "225\narm_m = 0.3\nspin = \"cw\"\npole_pairs = 7",
        "225\narm_m = 0.3\nspin = \"cw\"\npole_pairs = 42",
        "line 22: M3 has 42 pole pairs, which is rare: is it half the number of magnets in the bell?"
    )]
    [InlineData(
        "along_mm = 19",
        "along_mm = 19\n[shim_kit]\nthickness_mm = [0.1, 0.2, 0.1]",
        "line 6: a thickness is listed twice: is one of them a typing error, or a decimal comma?"
    )]
    [InlineData(
        "along_mm = 19",
        "along_mm = 19\n[screws]\nlength_mm = 6\ndiameter_mm = 3\nclamped_mm = 8",
        "line 8: a screw of 6 mm does not reach through 8 mm: is one of them wrong?"
    )]
    public void Parts_that_contradict_each_other_are_asked_about(string change, string into, string expected)
    {
        Assert.Contains(change, Quad, StringComparison.Ordinal);
        Assert.Contains(expected, Read(Quad.ReplaceLineEndings("\n").Replace(change, into, StringComparison.Ordinal)).Remarks);
    }

    [Fact]
    public void A_pair_that_turns_the_same_way_and_angles_in_radians_are_asked_about()
    {
        string Pair(int i, double azimuth, string spin, string level) =>
            string.Create(
                System.Globalization.CultureInfo.InvariantCulture,
                $"[[motor]]\nid = \"M{i}\"\nazimuth_deg = {azimuth}\narm_m = 0.3\nspin = \"{spin}\"\nlevel = \"{level}\"\n"
            );
        Assert.Contains(
            "line 5: M1 and M2 are one above the other and turn the same way: is one spin wrong?",
            Read(
                Pair(1, 90, "cw", "upper") + Pair(2, 90, "cw", "lower") + Pair(3, 270, "ccw", "upper") + Pair(4, 270, "ccw", "lower")
            ).Remarks
        );
        Assert.Contains(
            "line 3: the motors all stand to one side of the hub: is every azimuth_deg in degrees clockwise from the nose?",
            Read(
                Pair(1, 0.8, "cw", "single") + Pair(2, 2.4, "ccw", "single") + Pair(3, 3.9, "cw", "single") + Pair(4, 5.5, "ccw", "single")
            ).Remarks
        );
    }

    [Fact]
    public void Text_nested_a_hundred_thousand_deep_is_refused()
    {
        foreach (
            string text in (string[])
                [
                    "a = " + new string('[', 100_000),
                    "a = " + new string('[', 100_000) + new string(']', 100_000),
                    "a = " + string.Concat(Enumerable.Repeat("{a=", 100_000)),
                    string.Concat(Enumerable.Repeat("a.", 100_000)) + "a = 1",
                    "[" + string.Concat(Enumerable.Repeat("a.", 100_000)) + "a]",
                    new string('[', 100_000),
                ]
        )
        {
            Assert.StartsWith("airframe.toml: line 1, column ", FaultOf(text), StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_file_larger_than_any_airframe_is_refused() =>
        Assert.Equal(
            "airframe.toml: the file is larger than 1024 kB. No such file gets that large by hand: check that it is the right one.",
            FaultOf("name = \"" + new string('x', 2_000_000) + "\"")
        );

    [Fact]
    public void A_folder_and_an_empty_name_are_reported()
    {
        Assert.EndsWith(
            "this is a folder, not a file. Name the file in it.",
            Assert.Throws<InputFaultException>(() => AirframeFile.Read(_folder)).Message,
            StringComparison.Ordinal
        );
        Assert.Equal(
            "(no name): no file is named. Give the path of the file.",
            Assert.Throws<InputFaultException>(() => AirframeFile.Read("")).Message
        );
    }

    [Fact]
    public void Inches_are_read_as_inches() =>
        Assert.Equal(25.4, Read("[bolts]\nacross_in = 1\nalong_in = 1" + Motor).Bolts!.AcrossSpanMm, 1e-9);

    [Theory]
    [InlineData(
        "name = \"x\"",
        "airframe.toml: line 1, column 1: the airframe has no motors. Add a [[motor]] section with id, azimuth_deg, arm_m and spin for "
            + "each motor."
    )]
    [InlineData(
        "mass_kg = -1\n[[motor]]\nid = \"M1\"\n",
        "airframe.toml: line 1, column 1: 'mass_kg' is -1, not above 0. Give a number above 0, or leave the key out."
    )]
    [InlineData(
        "[[motor]]\nid = \"M1\"\nazimuth_deg = 0\narm_m = 0.4\nspin = \"left\"\n",
        "airframe.toml: line 5, column 1: 'left' under 'spin' is neither cw nor ccw. Write cw or ccw, as seen from above."
    )]
    [InlineData(
        "[shim_kit]\nthickness_mm = []\n" + Motor,
        "airframe.toml: line 2, column 1: the shim kit is empty. List the thicknesses at hand, such as [0.1, 0.2, 0.3], or leave the "
            + "[shim_kit] section out to plan with those."
    )]
    [InlineData(
        "[bolts]\nplaces_mm = [[-8, 0], [0, 0], [8, 0]]\n" + Motor,
        "airframe.toml: line 2, column 1: the bolts lie in one line. A mount held in one line can tip about it: check the places, or "
            + "write pattern = \"two\" if there are really two bolts."
    )]
    [InlineData(
        "mass_kg = 28,6\n" + Motor,
        "airframe.toml: line 1, column 11: '28,6' has a decimal comma, which TOML does not know. Write 28.6, with a point."
    )]
    [InlineData(
        "mass_kg = \"1.234,5\"\n" + Motor,
        "airframe.toml: line 1, column 1: '\"1.234,5\"' under 'mass_kg' has more than one decimal mark. Write it with one point, "
            + "without marks between thousands."
    )]
    [InlineData(
        "mass_kg = nan\n" + Motor,
        "airframe.toml: line 1, column 1: 'nan' under 'mass_kg' is not a number. Write a number with a decimal point and no unit."
    )]
    [InlineData(
        "mass_kg = -inf\n" + Motor,
        "airframe.toml: line 1, column 1: '-inf' under 'mass_kg' is not a number. Write a number with a decimal point and no unit."
    )]
    [InlineData(
        "mass_kg = 0x10\n" + Motor,
        "airframe.toml: line 1, column 1: '0x10' under 'mass_kg' is not a number. Write a number with a decimal point and no unit."
    )]
    [InlineData(
        "mass_kg = 1e308\n" + Motor,
        "airframe.toml: line 1, column 1: 'mass_kg' is 1E+308 kg, which is not between 0.005 and 5000 kg. Check the decimal mark and "
            + "the unit of the key."
    )]
    [InlineData(
        "[[motor]]\nid = \"M1\"\nazimuth_deg = 0\narm_m = 0\nspin = \"cw\"\n",
        "airframe.toml: line 4, column 1: 'arm_m' is 0, not above 0. Give a number above 0, or leave the key out."
    )]
    [InlineData(
        "[shim_kit]\nthickness_mm = [0,1, 0,2]\n" + Motor,
        "airframe.toml: line 2, column 1: a shim of 0 mm in the kit is not between 0.005 and 5 mm thick. Give each thickness in the "
            + "unit of the key, decimals with a point: [0.1, 0.2]."
    )]
    [InlineData(
        "[[bolts]]\nacross_mm = 16\nalong_mm = 16\n[[bolts]]\nacross_mm = 19\nalong_mm = 19\n" + Motor,
        "airframe.toml: line 4, column 1: [bolts] is here a second time, first on line 1. Keep one of them."
    )]
    [InlineData(Motor + Motor, "airframe.toml: line 9, column 1: two motors are called 'M1'. Give each motor an id of its own.")]
    public void A_fault_is_reported_with_its_place_and_what_to_do(string text, string expected) => Assert.Equal(expected, FaultOf(text));

    [Fact]
    public void Text_that_is_not_TOML_is_reported_with_line_and_column() =>
        Assert.StartsWith("airframe.toml: line 2, column ", FaultOf("name = \"x\"\nmass_kg = = 3\n"), StringComparison.Ordinal);

    [Fact]
    public void A_missing_file_is_reported() =>
        Assert.Equal(
            "nowhere.toml: there is no such file. Check the path.",
            Assert.Throws<InputFaultException>(() => AirframeFile.Read("nowhere.toml")).Message
        );

    [Theory]
    [InlineData("pattern = \"16x19\"", "left-in left-out right-in right-out", 16, 19)]
    [InlineData("pattern = \"cross\"\nacross_mm = 28.6\nalong_mm = 28.6", "in left out right", 28.6, 28.6)]
    [InlineData("pattern = \"19x25\"\nturn_deg = 0", "in left out right", 19, 25)]
    public void Patterns_put_the_bolts_where_their_names_say(string keys, string places, double firstMm, double secondMm)
    {
        IReadOnlyList<Bolt> bolts = Read($"[bolts]\n{keys}\n{Motor}").Bolts!.Bolts;
        Assert.Equal(places, string.Join(' ', bolts.Select(b => b.Place).Order()));

        double Across(int a, int b) =>
            Math.Sqrt(Math.Pow(bolts[a].AcrossMm - bolts[b].AcrossMm, 2) + Math.Pow(bolts[a].AlongMm - bolts[b].AlongMm, 2));
        Assert.Equal(firstMm, Across(0, 2), 1e-9);
        Assert.Equal(secondMm, Across(1, 3), 1e-9);
    }

    // 1 inch is 25.4 mm exactly: International yard and pound agreement of 1959.
    [Theory]
    [InlineData("cross 1", true, "cross 25.4")]
    [InlineData("rectangle 25,4x50.8", false, "rectangle 1x2")]
    [InlineData("square 1 in", false, "square 1")]
    [InlineData("28.6", false, "1.126")]
    [InlineData("as in airframe.toml", false, "as in airframe.toml")]
    public void A_bolt_pattern_as_typed_is_shown_in_the_other_unit(string typed, bool inch, string shown) =>
        Assert.Equal(shown, BoltWords.WithUnit(typed, fromInch: inch, toInch: !inch));

    [Fact]
    public void An_invalid_bolt_pattern_is_answered_in_the_typed_unit()
    {
        Assert.Contains("such as square 1.125", BoltWords.Read("square 28.6", inch: true).Problem, StringComparison.Ordinal);
        Assert.NotNull(BoltWords.Read("square 1.125", inch: true).Bolts);
    }
}
