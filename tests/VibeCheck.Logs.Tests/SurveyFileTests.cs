using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.FlightMaker;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.Logs.Tests;

public sealed class SurveyFileTests : IDisposable
{
    private const string Header = "motor,when,where,direction,angle_deg,low_side,note\n";

    private readonly Airframe _hexa = DemoAirframes.Ring(6, "hexa", 6.8, 0.42, 2);
    private readonly string _folder = Directory.CreateTempSubdirectory().FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string Write(string text)
    {
        string path = Path.Combine(_folder, "survey.csv");
        File.WriteAllText(path, text);
        return path;
    }

    private Survey Read(string text) => SurveyFile.Read(Write(text), _hexa);

    private string FaultOf(string text) =>
        Assert
            .Throws<InputFaultException>(() => Read(text))
            .Message.Replace(_folder + Path.DirectorySeparatorChar, "", StringComparison.Ordinal);

    [Fact]
    public void Tilt_is_mount_minus_frame_signed_by_the_low_side()
    {
        Survey survey = Read(Header + "M1,as-found,frame,across,0.1,left,\nM1,as-found,mount,across,0.3,right,\n");
        MotorTilt tilt = Assert.Single(survey.AsFound);
        Assert.Equal(0.4, tilt.AcrossDeg.Value!.Value, 1e-12);

        // Check U14: two single readings of a 0.1° gauge, u = 0.0408° from its resolution. The usual repeatability, ±0.03° rectangular with
        // 2 degrees of freedom, adds 0.03 √2/√3 = 0.0245°; by the GUM's G.4 that gives 0.0476° with 28.5 degrees of freedom, and Student's
        // factor for 95 % is then 2.047 (GUM table G.2: 2.05 at 28).
        Assert.Equal(2.047 * 0.0476, tilt.U95Deg!.Value, 1e-4);
        Assert.Equal(new NoMountReading(TiltDirection.Along), tilt.AlongDeg.Why);
        Assert.Empty(survey.AsLeft);
        Assert.Equal(2, survey.Readings.Count);
    }

    [Fact]
    public void A_reading_that_flickers_between_two_counts_as_their_middle() =>
        Assert.Equal(
            0.45,
            Read(Header + "M1,as-found,frame,across,0.0,level,\nM1,as-found,mount,across,0.4/0.5,right,\n")
                .AsFound[0]
                .AcrossDeg.Value!.Value,
            1e-12
        );

    [Fact]
    public void Fitted_shims_are_read_from_their_column_and_written_again()
    {
        string header = "motor,when,where,direction,angle_deg,low_side,shims\n";
        Survey survey = Read(
            header
                + "M1,as-found,frame,across,0.0,level,\nM1,as-found,mount,across,0.4,right,right 0.2; left-in "
                + "0.1\nM1,as-left,mount,across,0.0,level,right 0.2\n"
        );
        FittedShims fitted = Assert.Single(survey.Fitted);
        Assert.Equal(("M1", "right 0.2"), (fitted.MotorId, fitted.Text));
        Assert.Equal([0.2, 0.2, 0, 0], fitted.Bolts!.Select(b => b.HeightMm));
        string path = Path.Combine(_folder, "survey.csv");
        File.WriteAllText(path, SurveyFile.WithReading(header, survey.Readings[1]));
        Assert.EndsWith(
            "M1,as-found,mount,across,0.4,right,right 0.2; left-in 0.1\n".Replace(
                "right 0.2; left-in 0.1",
                "\"right 0.2; left-in 0.1\"",
                StringComparison.Ordinal
            ),
            File.ReadAllText(path),
            StringComparison.Ordinal
        );
        Assert.Equal(
            "survey.csv: line 3, column 7: 'about 0.2' is not a place with its shims. Write a side or a bolt with its shims in mm, "
                + "such as right 0.2 or right-out 0.2+0.1, parted by a semicolon; or none.",
            FaultOf(header + "M1,as-found,frame,across,0.0,level,\nM1,as-left,mount,across,0.0,level,about 0.2\n")
        );
    }

    [Fact]
    public void Semicolons_and_decimal_commas_are_read() =>
        Assert.Equal(
            0.4,
            Read("motor;when;where;direction;angle_deg;low_side\nM1;as-found;frame;across;0,1;left\nM1;as-found;mount;across;0,3;right\n")
                .AsFound[0]
                .AcrossDeg.Value!.Value,
            1e-12
        );

    [Fact]
    public void A_gauge_turned_by_180_degrees_loses_its_zero_error_and_shows_it()
    {
        // Check U15 [ELC], 4 and 3 divisions as seen by the viewer: slope 0.5 and zero 3.5; here the turned reading is the same with its
        // sign inverted.
        Survey survey = Read(
            "motor,when,where,direction,angle_deg,low_side,gauge\n"
                + "M1,as-found,frame,across,0.0,level,straight\nM1,as-found,frame,across,0.0,level,turned\n"
                + "M1,as-found,mount,across,4,left,straight\nM1,as-found,mount,across,3,right,turned\n"
        );
        Assert.Equal(-0.5, survey.AsFound[0].AcrossDeg.Value!.Value, 1e-12);
        Assert.Equal(-1.75, survey.Gauge!.ZeroErrorDeg.Value!.Value, 1e-12);
    }

    [Theory]
    [InlineData("0.2", "0.6", LowSide.Left)]
    [InlineData("0.6", "0.2", LowSide.Right)]
    public void A_trial_shim_finds_the_low_side(string underLeft, string underRight, LowSide expected)
    {
        IReadOnlyList<GaugeReading> readings = SurveyFile.ReadReadings(
            Write(
                "motor,when,where,direction,angle_deg,low_side,shim_left_deg,shim_right_deg\n"
                    + $"M1,as-found,mount,across,0.4,,{underLeft},{underRight}\n"
            ),
            _hexa
        );
        Assert.Equal(expected, Assert.Single(readings).LowSide);
    }

    [Fact]
    public void A_frame_reading_taken_once_is_turned_into_each_arm()
    {
        // M1's arm points 30° right of the nose. A frame 1° low on the right is low by cos 30° across that arm and by sin 30° along it.
        Survey survey = Read(
            Header
                + "*,as-found,frame,across,1.0,right,\n*,as-found,frame,along,0.0,level,\n"
                + "M1,as-found,mount,across,0.9,right,\nM1,as-found,mount,along,0.5,out,\n"
        );
        Assert.Equal(0.9 - Math.Cos(Math.PI / 6), survey.AsFound[0].AcrossDeg.Value!.Value, 1e-9);
        Assert.Equal(0.0, survey.AsFound[0].AlongDeg.Value!.Value, 1e-9);
        Assert.Contains(survey.AsFound[0].AcrossBudget!.Parts, p => p.Name == "zero-error-kept");
    }

    [Theory]
    [InlineData(
        "M9,as-found,mount,across,0.4,right,",
        "survey.csv: line 2, column 1: there is no motor 'M9'. Write one of M1, M2, M3, M4, M5, M6."
    )]
    [InlineData(
        "M1,as-found,mount,across,40,right,",
        "survey.csv: line 2, column 5: the angle 40° is over 10°, most likely a typing error. Check the decimal point; a gauge "
            + "stood on end has to be laid flat."
    )]
    [InlineData(
        "M1,as-found,mount,across,0.4,right,",
        "survey.csv: line 2: M1's mount was read across the arm, but there is no frame reading across it. Add a line with where = "
            + "frame for M1, or one frame reading each way for motor *; 0.0 level if the gauge was zeroed on the frame."
    )]
    [InlineData(
        "M1,as-found,frame,across,0,level,\nM1,as-found,mount,across,0.4,right,\nM1,as-found,mount,across,0.4,left,",
        "survey.csv: line 4: M1's mount across the arm reads 0.4° left low here but 0.4° right low on line 3. One of the two has the "
            + "wrong side: read it again, correct the line, or give an after-the-knock reading knock = after."
    )]
    [InlineData(
        "M1,as-found,mount,across,0.4,out,",
        "survey.csv: line 2, column 6: a reading across the arm cannot be out low. Across the arm the low side is right, left or level."
    )]
    [InlineData(
        "M1,as-found,mount,across,0.4,level,",
        "survey.csv: line 2, column 6: the gauge shows 0.4° but the side is level. Say which side is low."
    )]
    [InlineData(
        "M1,as-found,mount,across,0.4o,right,",
        "survey.csv: line 2, column 5: '0.4o' under 'angle_deg' is not an angle in degrees. Give what the gauge shows, such as 0.4 or "
            + "0.4/0.5."
    )]
    [InlineData(
        "M1,later,mount,across,0.4,right,",
        "survey.csv: line 2, column 2: 'later' under 'when' is not known. Write as-found or as-left."
    )]
    public void A_fault_is_reported_with_its_place_and_what_to_do(string line, string expected) =>
        Assert.Equal(expected, FaultOf(Header + line + "\n"));

    [Fact]
    public void A_survey_half_done_is_usable()
    {
        Survey survey = Read(
            Header + "M1,as-found,frame,across,0.1,left,\nM1,as-found,mount,across,0.3,right,\nM2,as-found,frame,across,0.1,left,\n"
        );
        Assert.Equal(0.4, survey.Found("M1")!.AcrossDeg.Value!.Value, 1e-12);
        Assert.Equal(new NoMountReading(TiltDirection.Across), survey.Found("M2")!.AcrossDeg.Why);
        Assert.Null(survey.Found("M3"));
    }

    [Fact]
    public void Appended_readings_read_back_the_same()
    {
        string path = Path.Combine(_folder, "new.csv");
        var reading = new GaugeReading
        {
            MotorId = "M2",
            When = SurveyTime.AsLeft,
            Where = GaugePlace.Mount,
            Direction = TiltDirection.Along,
            LowDeg = 0.4,
            HighDeg = 0.5,
            LowSide = LowSide.Out,
            Turned = true,
            Knock = Knock.After,
            Note = "warm, said \"ok\"",
            Line = 2,
        };
        File.WriteAllText(path, SurveyFile.WithReading("", reading));
        File.WriteAllText(
            path,
            SurveyFile.WithReading(File.ReadAllText(path), reading with { MotorId = null, Where = GaugePlace.Frame, Note = "" })
        );
        Assert.Equal(
            [reading, reading with { MotorId = null, Where = GaugePlace.Frame, Note = "", Line = 3 }],
            SurveyFile.ReadReadings(path, _hexa)
        );

        File.WriteAllText(path, SurveyFile.WithoutLastReading(File.ReadAllText(path)));
        Assert.Equal([reading], SurveyFile.ReadReadings(path, _hexa));
    }

    [Fact]
    public void All_lines_at_fault_are_reported_at_once()
    {
        InputFaultException e = Assert.Throws<InputFaultException>(() =>
            Read(
                "motor,when,where,direction,angle_deg,low_side\n"
                    + "M9,as-found,frame,across,0.0,level\nM1,later,mount,across,99,right\nM1,as-found,mount,across,0.4,right\n"
                    + "M2,as-found,mount,along,x,out\n"
            )
        );
        Assert.Equal([(2, 1), (3, 5), (3, 2), (5, 5)], e.Faults.Select(f => (f.Line!.Value, f.Column!.Value)));
        Assert.Equal(4, e.Message.Split('\n').Length);
    }

    [Fact]
    public void A_quote_left_open_does_not_take_the_lines_below_it()
    {
        InputFault fault = Assert
            .Throws<InputFaultException>(() =>
                Read(Header + "M1,as-found,frame,across,0.0,level,\"warm\nM1,as-found,mount,across,0.4,right,\"wind\"\n")
            )
            .Fault;
        Assert.Equal((2, 7, "a quote is opened here and not closed on this line"), (fault.Line, fault.Column, fault.Problem));
        fault = Assert.Throws<InputFaultException>(() => Read(Header + "M1,as-found,frame,across,0.0,level,\"a\"b\n")).Fault;
        Assert.Equal((2, 7, "text stands behind the closing quote"), (fault.Line, fault.Column, fault.Problem));
    }

    [Theory]
    [InlineData(
        "M1,as-found,frame,across,0,4,right,x",
        "survey.csv: line 2, column 5: '0,4' looks like a decimal comma, and commas part the fields here. Write 0.4, or put it in quotes."
    )]
    [InlineData(
        "M1,as-found,frame,across,0.4,right,warm,windy",
        "survey.csv: line 2, column 8: 'windy' stands behind the last of 7 columns. Put a text that holds the separator in quotes, and "
            + "write decimals with a point."
    )]
    [InlineData(
        "M1,as-found,frame,across,\"1.234,5\",right,",
        "survey.csv: line 2, column 5: '1.234,5' under 'angle_deg' has more than one decimal mark. Give what the gauge shows, such as "
            + "0.4 or 0.4/0.5."
    )]
    [InlineData(
        "M1,as-found,frame,across,NaN,right,",
        "survey.csv: line 2, column 5: 'NaN' under 'angle_deg' is not an angle in degrees. Give what the gauge shows, such as 0.4 or "
            + "0.4/0.5."
    )]
    [InlineData(
        "M1,as-found,frame,across,-0.4,right,",
        "survey.csv: line 2, column 5: the angle -0.4° is below 0. Give what the gauge shows without a sign, and say which side is low."
    )]
    public void A_number_that_could_mean_two_things_or_none_is_reported(string line, string expected) =>
        Assert.Equal(expected, FaultOf(Header + line + "\n"));

    [Fact]
    public void A_decimal_comma_in_quotes_and_in_the_shims_is_read()
    {
        Survey survey = Read(
            "motor,when,where,direction,angle_deg,low_side,shims\nM1,as-found,frame,across,\"0,1\",left,\n"
                + "M1,as-found,mount,across,\"0,3/0,4\",right,\"right 0,2+0,1, left-in 0,1\"\n"
        );
        Assert.Equal(0.45, survey.AsFound[0].AcrossDeg.Value!.Value, 1e-12);
        Assert.Equal([0.3, 0.3, 0.1, 0], survey.Fitted[0].Bolts!.Select(b => Math.Round(b.HeightMm, 9)));
    }

    [Fact]
    public void A_header_without_meaning_is_named_with_the_one_that_was_probably_meant()
    {
        Survey survey = Read(
            "motor,when,where,direction,angle_deg,low_side,notes,gauge,gauge\nM1,as-found,frame,across,0,level,,,\n"
                + "M1,as-found,mount,across,0.2,left,,,\n"
        );
        Assert.Equal(
            [
                "header, column 7: 'notes' means nothing here and is not used; did you mean 'note'?",
                "header, column 9: 'gauge' is there twice; the first one is used",
            ],
            survey.Remarks
        );
        Assert.Equal(
            "survey.csv: line 1: the header has no column angle_deg. Make the first line "
                + "motor,when,where,direction,angle_deg,low_side,note. 'angel_deg' looks like angle_deg.",
            FaultOf("motor,when,where,direction,angel_deg,low_side\nM1,as-found,frame,across,0,level\n")
        );
    }

    [Fact]
    public void A_survey_of_a_hundred_thousand_readings_is_read_in_bounded_time_and_a_larger_one_refused()
    {
        string rows = string.Concat(
            Enumerable
                .Range(0, SurveyFile.MostReadings / 2)
                .Select(i => $"M{i % 6 + 1},as-found,frame,across,0.{i % 3},left,\nM{i % 6 + 1},as-found,mount,across,0.{i % 5},left,\n")
        );
        string path = Write(Header + rows);
        var clock = System.Diagnostics.Stopwatch.StartNew();
        Survey survey = SurveyFile.Read(path, _hexa);
        clock.Stop();
        Assert.Equal(SurveyFile.MostReadings, survey.Readings.Count);

        // The whole command takes 1.0 s of processor time. The bound allows for a machine with thirty other jobs per core (15 s measured);
        // reading in quadratic time would take minutes.
        Assert.True(clock.Elapsed.TotalSeconds < 40, $"took {clock.Elapsed.TotalSeconds:F1} s");
        Assert.Contains(
            "more than 100000 readings",
            FaultOf(Header + rows + "M1,as-found,frame,across,0,level,\n"),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void The_last_reading_is_removed_and_comments_and_header_stay()
    {
        const string Text = "# bench 2\nmotor,when,where,direction,angle_deg,low_side\nM1,as-found,frame,across,0.1,left\n# warm\n";
        Assert.Equal("# bench 2\nmotor,when,where,direction,angle_deg,low_side\n# warm\n", SurveyFile.WithoutLastReading(Text));
        Assert.Equal(
            "# bench 2\nmotor,when,where,direction,angle_deg,low_side\n# warm\n",
            SurveyFile.WithoutLastReading(SurveyFile.WithoutLastReading(Text))
        );
    }

    [Fact]
    public void A_survey_of_comments_alone_gets_its_header_with_the_first_reading()
    {
        string path = Path.Combine(_folder, "comments.csv");
        var reading = new GaugeReading
        {
            MotorId = "M1",
            When = SurveyTime.AsFound,
            Where = GaugePlace.Frame,
            Direction = TiltDirection.Across,
            LowDeg = 0.1,
            HighDeg = 0.1,
            LowSide = LowSide.Left,
        };
        File.WriteAllText(path, SurveyFile.WithReading("# bench 2, in the hall\n", reading));
        Assert.StartsWith("# bench 2, in the hall\nmotor,", File.ReadAllText(path), StringComparison.Ordinal);
        Assert.Equal(0.1, Assert.Single(SurveyFile.ReadReadings(path, _hexa)).LowDeg);
    }
}
