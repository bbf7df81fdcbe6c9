using VibeCheck.Core.Airframes;

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

    private string FaultOf(string text) => Assert.Throws<InputFaultException>(() => Read(text)).Message.Replace(_folder + Path.DirectorySeparatorChar, "", StringComparison.Ordinal);

    [Fact]
    public void Every_key_of_the_file_is_read()
    {
        Airframe a = Read("""
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
            """);
        Assert.Equal(("Demo hexa", 6.8, 0.018), (a.Name, a.MassKg!.Value, a.TorquePerThrustM!.Value));
        Assert.Equal(new Motor("M1", 30, 0.42, Spin.CounterClockwise, MotorLevel.Lower, 3, 14), Assert.Single(a.Motors));
        Assert.Equal((28.6, 30), (a.Bolts!.AcrossSpanMm, a.Bolts.AlongSpanMm));
        Assert.Equal([20, 10, 4], a.ShimKit!.Counts!);
        Assert.Equal(0.05, a.Gauge!.ResolutionDeg);
        Assert.Equal(new MountScrews(10, 3, 3, 7), a.Screws);
        Assert.Empty(a.Remarks);
    }

    [Fact]
    public void Blades_pole_pairs_and_level_may_be_left_out() =>
        Assert.Equal(new Motor("M1", 30, 0.42, Spin.Clockwise, MotorLevel.Single, 2, null), Read("name = \"x\"" + Motor).Motors[0]);

    [Fact]
    public void A_key_without_meaning_is_named_and_passed_over() =>
        Assert.Equal(["line 2: 'mas_kg' means nothing here and is not used"], Read("name = \"x\"\nmas_kg = 3" + Motor).Remarks);

    [Fact]
    public void Inches_are_read_as_inches() =>
        Assert.Equal(25.4, Read("[bolts]\nacross_in = 1\nalong_in = 1" + Motor).Bolts!.AcrossSpanMm, 1e-9);

    [Theory]
    [InlineData("name = \"x\"", "airframe.toml: line 1, column 1: the airframe has no motors. Add a [[motor]] section with id, azimuth_deg, arm_m and spin for each motor.")]
    [InlineData("mass_kg = -1\n[[motor]]\nid = \"M1\"\n", "airframe.toml: line 1, column 1: 'mass_kg' is -1, not above 0. Give a number above 0, or leave the key out.")]
    [InlineData("[[motor]]\nid = \"M1\"\nazimuth_deg = 0\narm_m = 0.4\nspin = \"left\"\n", "airframe.toml: line 5, column 1: 'left' under 'spin' is neither cw nor ccw. Write cw or ccw, as seen from above.")]
    [InlineData("[shim_kit]\nthickness_mm = []\n" + Motor, "airframe.toml: line 2, column 1: the shim kit is empty. List the thicknesses at hand, such as [0.1, 0.2, 0.3], or leave the [shim_kit] section out to plan with those.")]
    [InlineData("[bolts]\nplaces_mm = [[-8, 0], [0, 0], [8, 0]]\n" + Motor, "airframe.toml: line 2, column 1: the bolts lie in one line. A mount held in one line can tip about it: check the places, or write pattern = \"two\" if there are really two bolts.")]
    [InlineData(Motor + Motor, "airframe.toml: line 9, column 1: two motors are called 'M1'. Give each motor an id of its own.")]
    public void A_fault_is_told_with_its_place_and_what_to_do(string text, string expected) => Assert.Equal(expected, FaultOf(text));

    [Fact]
    public void Text_that_is_not_TOML_is_told_with_line_and_column() =>
        Assert.StartsWith("airframe.toml: line 2, column ", FaultOf("name = \"x\"\nmass_kg = = 3\n"), StringComparison.Ordinal);

    [Fact]
    public void A_missing_file_is_told() =>
        Assert.Equal("nowhere.toml: there is no such file. Check the path.", Assert.Throws<InputFaultException>(() => AirframeFile.Read("nowhere.toml")).Message);

    [Theory]
    [InlineData("pattern = \"16x19\"", "left-in left-out right-in right-out", 16, 19)]
    [InlineData("pattern = \"cross\"\nacross_mm = 28.6\nalong_mm = 28.6", "in left out right", 28.6, 28.6)]
    [InlineData("pattern = \"19x25\"\nturn_deg = 0", "in left out right", 19, 25)]
    public void Patterns_put_the_bolts_where_their_names_say(string keys, string places, double firstMm, double secondMm)
    {
        IReadOnlyList<Bolt> bolts = Read($"[bolts]\n{keys}\n{Motor}").Bolts!.Bolts;
        Assert.Equal(places, string.Join(' ', bolts.Select(b => b.Place).Order()));

        double Across(int a, int b) => Math.Sqrt(Math.Pow(bolts[a].AcrossMm - bolts[b].AcrossMm, 2) + Math.Pow(bolts[a].AlongMm - bolts[b].AlongMm, 2));
        Assert.Equal(firstMm, Across(0, 2), 1e-9);
        Assert.Equal(secondMm, Across(1, 3), 1e-9);
    }
}
