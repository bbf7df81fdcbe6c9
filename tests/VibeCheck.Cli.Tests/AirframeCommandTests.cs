using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Airframes;

namespace VibeCheck.Cli.Tests;

/// <summary>An airframe from options, from questions, and drawn.</summary>
public sealed class AirframeCommandTests : IDisposable
{
    private readonly ScratchFolder _scratch = new();

    private string Path => _scratch.Name("airframe.toml");

    public void Dispose() => _scratch.Dispose();

    [Fact]
    public void Options_make_a_file_that_reads_back_as_given()
    {
        CommandRun run = CommandRun.Of(
            "airframe",
            Path,
            "--arms",
            "6",
            "--shape",
            "x",
            "--span",
            "840",
            "--mass",
            "6,8",
            "--bolts",
            "diagonals 16x19",
            "--shims",
            "0.1 0.2",
            "--name",
            "Bench \"hexa\""
        );
        Assert.Equal((ExitCode.Done, ""), (run.ExitCode, run.Error));
        Airframe airframe = AirframeFile.Read(Path);
        Assert.Equal(("Bench \"hexa\"", 6.8), (airframe.Name, airframe.MassKg));

        // Six equally spaced arms with the nose midway between two: from 30° in steps of 60°.
        Assert.Equal([30, 90, 150, 210, 270, 330], airframe.Motors.Select(m => m.AzimuthDeg));
        Assert.All(airframe.Motors, m => Assert.Equal(0.42, m.ArmM, 1e-9));
        Assert.Equal([Spin.Clockwise, Spin.CounterClockwise, Spin.Clockwise], airframe.Motors.Take(3).Select(m => m.Spin));
        Assert.Equal([16, 19], airframe.Bolts!.OppositePairs.Select(p => Math.Round(p.DistanceMm, 6)).Order());
        Assert.Equal([0.1, 0.2], airframe.ShimKit!.ThicknessesMm);
        Assert.Empty(airframe.Remarks);
        Assert.Contains($"Written to {Path}.", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_rectangle_puts_the_motors_at_its_corners()
    {
        CommandRun.Of("airframe", Path, "--shape", "rectangle", "--wide", "300", "--long", "400", "--spin", "ccw");
        foreach (Motor m in AirframeFile.Read(Path).Motors)
        {
            // Half of 300 and 400: a 3-4-5 triangle.
            Assert.Equal(0.25, m.ArmM, 1e-4);
            Assert.Equal(0.15, Math.Abs(m.ArmM * Math.Sin(double.DegreesToRadians(m.AzimuthDeg))), 1e-4);
        }

        Assert.Equal(Spin.CounterClockwise, AirframeFile.Read(Path).Motors[0].Spin);
    }

    [Fact]
    public void The_two_motors_of_a_pair_turn_against_each_other_and_so_do_neighbours()
    {
        CommandRun.Of("airframe", Path, "--arms", "4", "--coaxial", "--span", "27.5in");
        IReadOnlyList<Motor> motors = AirframeFile.Read(Path).Motors;
        Assert.Equal(8, motors.Count);
        Assert.All(motors.Chunk(2), pair => Assert.NotEqual(pair[0].Spin, pair[1].Spin));
        Assert.Equal(4, motors.Count(m => m.Spin == Spin.Clockwise));
        Assert.NotEqual(motors[0].Spin, motors[2].Spin);
        Assert.Equal(0.34925, motors[0].ArmM, 1e-6);
    }

    [Theory]
    [InlineData("--arms: '2' cannot be used. Give the number of arms, 3 to 16", "--arms", "2", "--span", "400")]
    [InlineData("Give the span", "--arms", "4")]
    [InlineData("A rectangle needs --wide and --long", "--shape", "rectangle", "--span", "400")]
    [InlineData("--bolts: 'round 3' cannot be used", "--span", "400", "--bolts", "round 3")]
    [InlineData("--spin: 'cw,ccw' cannot be used. Give one spin, that of the first motor, or 4", "--span", "400", "--spin", "cw,ccw")]
    [InlineData("--ids: 'A,a,B,C' cannot be used. Two motors have the same name.", "--span", "400", "--ids", "A,a,B,C")]
    public void Impossible_values_are_refused_with_what_to_give(string message, params string[] options)
    {
        CommandRun run = CommandRun.Of(["airframe", Path, .. options]);
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Contains(message, run.Error, StringComparison.Ordinal);
        Assert.False(File.Exists(Path));
    }

    [Fact]
    public void An_existing_file_is_not_overwritten()
    {
        File.WriteAllText(Path, "mine");
        CommandRun run = CommandRun.Of("airframe", Path, "--span", "400");
        Assert.Equal(ExitCode.WrongUsage, run.ExitCode);
        Assert.Contains("is not overwritten", run.Error, StringComparison.Ordinal);
        Assert.Equal("mine", File.ReadAllText(Path));
    }

    [Fact]
    public void Questions_check_each_answer_go_back_and_draw_before_they_write()
    {
        // In this order: mm; name; arms wrong, right; shape; coaxial; back, coaxial; span wrong, right; then all defaults, bolts, shims;
        // yes.
        const string Typed = "\nBench quad\ntwo\n4\nx\ny\nb\nn\nwide\n450\n\n\n\n\n2,1\nsquare 16\n\n\n";
        CommandRun run = CommandRun.Answering(Typed, "airframe", Path);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Contains("Give the number of arms, 3 to 16", run.Output, StringComparison.Ordinal);
        Assert.Contains("Give a length between 20 mm and 40 m", run.Output, StringComparison.Ordinal);
        Assert.Contains("Bench quad, seen from above", run.Output, StringComparison.Ordinal);
        Airframe airframe = AirframeFile.Read(Path);
        Assert.Equal(
            (4, 0.225, 2.1, 16.0),
            (airframe.Motors.Count, airframe.Motors[0].ArmM, airframe.MassKg, airframe.Bolts!.AcrossSpanMm)
        );
    }

    [Theory]
    [InlineData("q\n")]
    [InlineData("\n\n4\n")]
    public void Questions_that_are_stopped_write_nothing(string typed)
    {
        CommandRun run = CommandRun.Answering(typed, "airframe", Path);
        Assert.Equal(ExitCode.Done, run.ExitCode);
        Assert.Contains("Stopped; nothing was written.", run.Output, StringComparison.Ordinal);
        Assert.False(File.Exists(Path));
    }

    [Fact]
    public void Show_draws_every_motor_on_its_side_and_says_which_distance_lies_where()
    {
        CommandRun.Of("airframe", Path, "--arms", "4", "--span", "450", "--bolts", "diagonals 16x19");
        string output = CommandRun.Of("airframe", Path, "--show").Output;
        string[] lines = output.Split('\n');
        string front = lines.First(l => l.Contains("M1 cw", StringComparison.Ordinal)),
            rear = lines.First(l => l.Contains("M2 ccw", StringComparison.Ordinal));
        Assert.True(
            front.IndexOf("M4 ccw", StringComparison.Ordinal) is >= 0 and int left
                && left < front.IndexOf("M1 cw", StringComparison.Ordinal),
            front
        );
        Assert.True(Array.IndexOf(lines, front) < Array.IndexOf(lines, rear));
        Assert.Contains("16 mm from right-out to left-in", output, StringComparison.Ordinal);
        Assert.Contains("19 mm from right-in to left-out", output, StringComparison.Ordinal);
        Assert.All(lines, l => Assert.True(l.TrimEnd().Length <= 80, l));
    }

    [Fact]
    public void Shims_on_a_survey_that_is_not_there_offers_to_type_it_in()
    {
        CommandRun.Of("airframe", Path, "--span", "450");
        CommandRun run = CommandRun.Of("shims", _scratch.Name("survey.csv"), "--airframe", Path);
        Assert.Equal(ExitCode.UnusableInput, run.ExitCode);
        Assert.Contains(
            "there is no such file. Check the name, or add --ask to type the readings in, motor by motor.",
            run.Error,
            StringComparison.Ordinal
        );

        using StringWriter output = new(),
            error = new();
        using var typed = new StringReader("y\nh\n0\n0\nq\n");
        int code = VibeCheckApp.Run(
            ["shims", _scratch.Name("survey.csv"), "--airframe", Path],
            new Terminal(output, error, typed, isInteractive: true) { CanAsk = true }
        );
        Assert.Equal(ExitCode.Done, code);
        Assert.Contains("Type the readings in now, motor by motor? (y/n)", error.ToString(), StringComparison.Ordinal);
        Assert.Contains("*,as-found,frame,across,0,level", File.ReadAllText(_scratch.Name("survey.csv")), StringComparison.Ordinal);
    }
}
