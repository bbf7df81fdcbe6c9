using System.Text.Json;
using VibeCheck.BenchSheet.State;
using VibeCheck.BenchSheet.Text;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Sheets;
using VibeCheck.Logs.Surveys;
using VibeCheck.Reports.Json;

namespace VibeCheck.BenchSheet.Tests.State;

public sealed class SheetTests
{
    private const string Job = "job";

    private readonly MemoryStore _keys = new();
    private DateTimeOffset _now = new(2026, 1, 31, 10, 0, 0, TimeSpan.Zero);

    private static string Sample => Path.Combine(Repository.Root, "sample-logs", "reshim-hexa");

    private Sheet Open(string? toml = null, bool isStepwise = false)
    {
        var store = new SheetStore(_keys);
        if (store.Job(Job) is null)
        {
            store.Keep(Job, new SheetJob { Job = Job, AirframeToml = toml ?? File.ReadAllText(Path.Combine(Sample, "airframe.toml")) });
        }

        (Sheet? sheet, string? problem) = Sheet.Open(store, Job, () => _now = _now.AddSeconds(1), isStepwise);
        Assert.Null(problem);
        return sheet!;
    }

    private static void Read(Sheet sheet, string angle, LowSide side)
    {
        foreach (char key in angle)
        {
            sheet.Type(key);
        }

        if (side == LowSide.Level)
        {
            sheet.TapLevel();
        }
        else
        {
            sheet.Tap(side);
        }
    }

    private static string Json(Airframe airframe, Survey survey)
    {
        using var stream = new MemoryStream();
        ShimJson.Write(ShimPlan.Of(airframe, survey), [], stream);
        return System.Text.Encoding.UTF8.GetString(stream.ToArray());
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Every_reading_of_the_sample_typed_in_gives_the_plan_of_the_shims_command(bool isStepwise)
    {
        Sheet sheet = Open(isStepwise: isStepwise);
        Airframe airframe = AirframeFile.Read(Path.Combine(Sample, "airframe.toml"));
        IReadOnlyList<GaugeReading> sample = SurveyFile.ReadReadings(Path.Combine(Sample, "survey.csv"), airframe);
        foreach (GaugeReading r in sample)
        {
            sheet.ShowMotor(airframe.Find(r.MotorId!));
            sheet.Choose(r.When);
            sheet.Choose(new WorkStep(r.Where, r.Direction));
            Read(sheet, r.LowDeg.ToString("0.0#", System.Globalization.CultureInfo.InvariantCulture).Replace('.', ','), r.LowSide);
        }

        sheet.CatchUp();
        string path = Path.GetTempFileName();
        File.WriteAllText(path, sheet.SurveyText);
        Survey exported = SurveyFile.Read(path, airframe);
        Assert.Equal(sample.Count, sheet.Ledger.Readings.Count);
        Assert.Equal(Json(airframe, exported), Json(sheet.Airframe, sheet.Plan.Survey));

        // The sample's own file also records fitted shims, which change only cautions.
        JsonElement own = JsonDocument.Parse(Json(airframe, SurveyFile.Read(Path.Combine(Sample, "survey.csv"), airframe))).RootElement;
        Assert.Equal(
            own.GetProperty("motors").GetRawText(),
            JsonDocument.Parse(Json(sheet.Airframe, sheet.Plan.Survey)).RootElement.GetProperty("motors").GetRawText()
        );
        File.Delete(path);
    }

    [Fact]
    public void The_sheet_leads_through_the_places_in_the_order_of_work()
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        var places = new List<WorkStep>();
        foreach (LowSide side in (LowSide[])[LowSide.Right, LowSide.Right, LowSide.Out, LowSide.Out])
        {
            places.Add(sheet.View.Step);
            Read(sheet, sheet.View.Where == GaugePlace.Frame ? "0.1" : "0.5", side);
        }

        Assert.Equal(WorkStep.InOrder, places);
    }

    [Fact]
    public void A_reading_is_shown_at_once_and_the_next_place_with_the_next_tap_at_the_latest()
    {
        Sheet sheet = Open(isStepwise: true);
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        Read(sheet, "0.1", LowSide.Right);
        Assert.True(sheet.IsBehind);
        Assert.Single(sheet.Ledger.Readings);
        Assert.Equal(("", WorkStep.InOrder[0]), (sheet.View.Typed, sheet.View.Step));
        Assert.Single(Open().Ledger.Readings);

        // A tap before the calculation does not go to the previous place.
        sheet.Type('0');
        Assert.False(sheet.IsBehind);
        Assert.Equal(("0", WorkStep.InOrder[1]), (sheet.View.Typed, sheet.View.Step));
        Read(sheet, ".5", LowSide.Left);
        sheet.CatchUp();
        Assert.Equal(WorkStep.InOrder[2], sheet.View.Step);
    }

    [Fact]
    public void A_removed_reading_is_gone_at_once_and_its_place_stays_on_the_screen()
    {
        Sheet sheet = Open(isStepwise: true),
            eager = Open();
        foreach (Sheet of in (Sheet[])[sheet, eager])
        {
            of.ShowMotor(of.Airframe.Motors[0]);
            Read(of, "0.1", LowSide.Right);
            Read(of, "0.5", LowSide.Right);
            of.Undo();
        }

        Assert.True(sheet.IsBehind);
        Assert.Single(sheet.Ledger.Readings);
        Assert.Equal(WorkStep.InOrder[1], sheet.View.Step);
        sheet.CatchUp();
        Assert.Equal(eager.View with { Hint = "" }, sheet.View with { Hint = "" });
        Assert.Equal(eager.Plan.Motors[0].Tilt?.AcrossDeg, sheet.Plan.Motors[0].Tilt?.AcrossDeg);
    }

    [Theory]
    [InlineData("0,4")]
    [InlineData("0.4")]
    [InlineData(",4")]
    public void A_comma_and_a_point_are_the_same_decimal_mark(string typed)
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        Read(sheet, typed, LowSide.Left);
        Assert.Equal((0.4, LowSide.Left), (sheet.Ledger.Readings[0].LowDeg, sheet.Ledger.Readings[0].LowSide));
    }

    [Theory]
    [InlineData("", "Type the angle first, then tap the low side.")]
    [InlineData("1.2.3", "The angle has more than one decimal mark: erase one.")]
    [InlineData("04", "'04' may be 0.4 or 4: type it with its decimal mark.")]
    [InlineData("40", "40° is over 10°: a typing error?")]
    public void An_invalid_angle_is_not_accepted_and_the_typed_text_stays(string typed, string hint)
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        Read(sheet, typed, LowSide.Right);
        Assert.Empty(sheet.Entries);
        Assert.Equal((typed, hint), (sheet.View.Typed, sheet.View.Hint));
    }

    [Fact]
    public void A_flickering_display_is_one_reading_of_two_values()
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        Read(sheet, "0,4/0,5", LowSide.Right);
        Assert.Equal((0.4, 0.5), (sheet.Ledger.Readings[0].LowDeg, sheet.Ledger.Readings[0].HighDeg));
    }

    [Fact]
    public void A_reading_of_zero_is_level_whichever_side_is_tapped()
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        Read(sheet, "0.0", LowSide.Right);
        Read(sheet, "", LowSide.Level);
        Assert.All(sheet.Ledger.Readings, r => Assert.Equal((0, LowSide.Level), (r.HighDeg, r.LowSide)));
        Assert.Equal(2, sheet.Ledger.Readings.Count);
    }

    // A bubble at 0.4° at 3 o'clock is on the right, the high side: so left is low, and along the arm it is level.
    [Fact]
    public void A_bulls_eye_gives_both_directions_and_undo_takes_both_back()
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        sheet.Type('0');
        sheet.Type('.');
        sheet.Type('4');
        sheet.TapHour(3);
        Assert.Equal(
            [(TiltDirection.Across, 0.4, LowSide.Left), (TiltDirection.Along, 0.0, LowSide.Level)],
            sheet.Ledger.Readings.Select(r => (r.Direction, r.LowDeg, r.LowSide))
        );
        sheet.Undo();
        Assert.Empty(sheet.Ledger.Readings);
        Assert.Equal(4, sheet.Entries.Count);
    }

    [Fact]
    public void Undo_goes_back_to_the_place_of_the_reading()
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[2]);
        Read(sheet, "0.1", LowSide.Right);
        sheet.ShowMotor(sheet.Airframe.Motors[4]);
        sheet.Undo();
        Assert.Equal(
            ("M3", new WorkStep(GaugePlace.Frame, TiltDirection.Across), "Taken back: 0.1° right low."),
            (sheet.View.Motor, sheet.View.Step, sheet.View.Hint)
        );
        sheet.Undo();
        Assert.Equal("There is no reading to take back.", sheet.View.Hint);
    }

    [Fact]
    public void A_sheet_opened_again_has_all_that_was_entered()
    {
        Sheet before = Open();
        before.ShowMotor(before.Airframe.Motors[1]);
        Read(before, "0.2", LowSide.Left);
        before.Tick(null, SheetBox.PropellersOff);
        before.Type('0');
        before.Type('.');
        Sheet after = Open();
        Assert.Equal(before.View, after.View);
        Assert.Equal(before.Entries, after.Entries);
        Assert.True(after.Ledger.IsTicked(null, SheetBox.PropellersOff));
        Assert.Equal(before.SurveyText, after.SurveyText);
    }

    [Fact]
    public void Shims_ticked_as_fitted_are_noted_with_the_readings_as_left()
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        Read(sheet, "0.1", LowSide.Right);
        Read(sheet, "0.5", LowSide.Right);
        sheet.Tick("M1", SheetBox.ShimsFitted);
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        Assert.Equal(SurveyTime.AsLeft, sheet.View.When);
        Read(sheet, "0.1", LowSide.Right);
        Assert.Equal("right-out 0.2; right-in 0.2", sheet.Ledger.Readings[^1].Shims);
        Assert.Equal("motor,when,where,direction,angle_deg,low_side,gauge,knock,note,shims", sheet.SurveyText.Split('\n')[0]);
        Assert.EndsWith(
            "M1,as-left,frame,across,0.1,right,,,,\"right-out 0.2; right-in 0.2\"\n",
            sheet.SurveyText,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Shims_fitted_otherwise_than_planned_are_noted_bolt_by_bolt()
    {
        Sheet sheet = Open();
        Motor m1 = sheet.Airframe.Motors[0];
        sheet.ShowMotor(m1);
        Read(sheet, "0.1", LowSide.Right);
        Read(sheet, "0.5", LowSide.Right);
        Bolt rightOut = sheet.Airframe.BoltsOf(m1)!.Bolts.Single(b => b.Place == "right-out");
        sheet.AddPiece(m1, rightOut, 0.1);
        Assert.Equal("right-out 0.2+0.1; right-in 0.2", sheet.FittedText(m1));
        sheet.ClearBolt(m1, rightOut);
        Assert.Equal("right-in 0.2", sheet.FittedText(m1));
        sheet.Tick("M1", SheetBox.ShimsFitted);
        sheet.ShowMotor(m1);
        Read(sheet, "0.1", LowSide.Right);
        Assert.Equal("right-in 0.2", sheet.Ledger.Readings[^1].Shims);
        Assert.Equal("right-in 0.2", Open().FittedText(m1));
        sheet.FitAsPlanned(m1);
        Assert.Equal("right-out 0.2; right-in 0.2", sheet.FittedText(m1));
    }

    // Raising the low end makes the reading smaller, raising the high end makes it larger.
    [Theory]
    [InlineData("0,7", "0,1", LowSide.Right)]
    [InlineData("0,1", "0,7", LowSide.Left)]
    public void A_gauge_without_a_side_gives_it_by_a_trial_shim(string underLeft, string underRight, LowSide side)
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        sheet.Set(v => v with { Trial = true });
        foreach (string typed in new[] { "0,4", underLeft, underRight })
        {
            Assert.Empty(sheet.Ledger.Readings);
            foreach (char key in typed)
            {
                sheet.Type(key);
            }

            sheet.TapTrial();
        }

        ReadingEntry reading = Assert.Single(sheet.Ledger.Readings);
        Assert.Equal((0.4, side), (reading.LowDeg, reading.LowSide));
        Assert.Equal(("", ""), (sheet.View.TrialPlain, sheet.View.TrialLeft));
    }

    [Fact]
    public void A_trial_shim_that_shows_no_difference_asks_for_a_thicker_one_and_keeps_the_reading()
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        sheet.Set(v => v with { Trial = true });
        foreach (char key in "444")
        {
            sheet.Type('0');
            sheet.Type('.');
            sheet.Type(key);
            sheet.TapTrial();
        }

        Assert.Empty(sheet.Ledger.Readings);
        Assert.Equal(("0.4", ""), (sheet.View.TrialPlain, sheet.View.TrialLeft));
        Assert.StartsWith("Both ends show the same", sheet.View.Hint, StringComparison.Ordinal);
    }

    [Fact]
    public void Cautions_have_the_words_of_the_shims_command()
    {
        string toml =
            File.ReadAllText(Path.Combine(Sample, "airframe.toml"))
            + "\n[screws]\nlength_mm = 8\ndiameter_mm = 3\nclamped_mm = 5\nthread_depth_mm = 4\n";
        Sheet sheet = Open(toml);
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        Read(sheet, "0.1", LowSide.Right);
        Read(sheet, "0.9", LowSide.Right);
        string[] own =
        [
            .. JsonDocument
                .Parse(Json(sheet.Airframe, sheet.Plan.Survey))
                .RootElement.GetProperty("cautions")
                .EnumerateArray()
                .Select(c => c.GetString()!),
        ];
        Assert.Contains(own, c => c.Contains("of thread in the motor", StringComparison.Ordinal));
        Assert.Equal(own, Text.SheetText.Cautions(sheet.Plan));
        Assert.Contains(Text.SheetText.CautionsOf(sheet.Plan, "M1"), c => c.Contains("of thread in the motor", StringComparison.Ordinal));
        Assert.Empty(Text.SheetText.CautionsOf(sheet.Plan, "M2"));
    }

    [Fact]
    public void Entries_of_another_page_of_the_browser_are_added_and_none_is_lost()
    {
        Sheet one = Open(),
            two = Open();
        one.ShowMotor(one.Airframe.Motors[0]);
        two.ShowMotor(two.Airframe.Motors[1]);
        Read(one, "0.1", LowSide.Right);
        Read(two, "0.2", LowSide.Left);
        one.Reload();
        Assert.Equal(["M1", "M2"], one.Ledger.Readings.Select(r => r.Motor).Order());
        Assert.Equal(2, Open().Ledger.Readings.Count);
    }

    [Theory]
    [InlineData(false, "Shim 0.2 mm on the right; leaves 0.00°")]
    [InlineData(true, "Shim each bolt as drawn; leaves ")]
    public void Side_and_thickness_are_named_only_where_they_say_what_lies_under_each_bolt(bool tiltsAlongToo, string words)
    {
        Sheet sheet = Open();
        Motor motor = sheet.Airframe.Motors[0];
        sheet.ShowMotor(motor);

        // On a 28.6 mm square 0.4° is 0.20 mm and 0.2° is 0.10 mm: right-out takes both, right-in the first alone, left-out the second.
        foreach (
            (string angle, LowSide side) in new[]
            {
                ("0", LowSide.Level),
                ("0,4", LowSide.Right),
                ("0", LowSide.Level),
                (tiltsAlongToo ? "0,2" : "0", tiltsAlongToo ? LowSide.Out : LowSide.Level),
            }
        )
        {
            Read(sheet, angle, side);
        }

        MotorShims work = sheet.Plan.Motors.First(m => m.Motor == motor);
        Assert.Equal(tiltsAlongToo, work.Stacks!.Bolts.Select(b => Math.Round(b.HeightMm, 3)).Distinct().Count() > 2);
        Assert.StartsWith(words, SheetText.Action(work, sheet.Plan, inch: false), StringComparison.Ordinal);
    }

    [Fact]
    public void A_tick_does_not_change_the_plan_and_a_reading_changes_the_next_reading_to_take()
    {
        Sheet sheet = Open();
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        for (int i = 0; i < 6; i++)
        {
            ShimPlan plan = sheet.Plan;
            sheet.Tick(null, SheetBox.PropellersOff);
            Assert.Same(plan, sheet.Plan);
            Read(sheet, "0,4", sheet.View.Direction == TiltDirection.Across ? LowSide.Right : LowSide.Out);
            Assert.NotSame(plan, sheet.Plan);
            AssertNext(sheet);
        }

        sheet.Undo();
        AssertNext(sheet);
    }

    private static void AssertNext(Sheet sheet) =>
        Assert.All(
            sheet.Airframe.Motors,
            motor => Assert.Equal(NextReading.Of(sheet.Plan, motor, SurveyTime.AsFound), sheet.Next(motor, SurveyTime.AsFound))
        );

    [Fact]
    public void A_full_store_is_reported()
    {
        Sheet sheet = Open();
        var store = new SheetStore(_keys);
        Assert.True(store.IsWhole);
        _keys.IsFull = true;
        store.Keep(Job, sheet.View);
        Assert.False(store.IsWhole);
    }

    [Fact]
    public void An_airframe_that_cannot_be_read_is_reported_with_its_place()
    {
        var store = new SheetStore(_keys);
        store.Keep(Job, new SheetJob { Job = Job, AirframeToml = "name = \"x\"\n[[motor]]\nid = \"M1\"\nazimuth_deg = 0\n" });
        (Sheet? sheet, string? problem) = Sheet.Open(store, Job, () => _now);
        Assert.Null(sheet);
        Assert.StartsWith("airframe.toml: line 2, column 1: motor M1 has no arm_m.", problem, StringComparison.Ordinal);
    }
}
