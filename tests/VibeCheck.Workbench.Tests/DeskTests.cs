using System.IO.Pipes;
using VibeCheck.BenchSheet.Tests.Browser;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Jobs;
using VibeCheck.Logs.Surveys;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Tests;

/// <summary>The desk without its pages: the files that it writes, and the logs that it reads.</summary>
public sealed class DeskTests
{
    [Fact]
    public void Readings_from_two_desks_at_once_are_all_kept_once()
    {
        const int Each = 60;
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa", "survey.csv", "job.toml");
        using Desk one = new(new JobFolder(folder.Path)),
            two = new(new JobFolder(folder.Path));
        Parallel.Invoke(() => Fill(one, "M1"), () => Fill(two, "M2"), () => Fill(one, "M3"));
        IReadOnlyList<GaugeReading> read = SurveyFile.ReadReadings(folder.In("survey.csv"), AirframeFile.Read(folder.In("airframe.toml")));
        Assert.Equal(3 * Each, read.Count);
        Assert.Equal(3 * Each, read.Select(r => r.Note).Distinct().Count());

        static void Fill(Desk desk, string motor)
        {
            for (int i = 0; i < Each; i++)
            {
                desk.Add([Reading(motor, 0.1) with { Note = $"{motor} {i}" }]);
            }
        }
    }

    [Fact]
    public void A_removed_reading_is_the_one_that_was_shown_even_if_others_were_inserted_before_it()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa", "survey.csv", "job.toml");
        using Desk desk = new(new JobFolder(folder.Path));
        desk.Add([Reading("M1", 0.1), Reading("M2", 0.2), Reading("M3", 0.3)]);
        GaugeReading shown = desk.View.Readings[1];
        File.WriteAllText(
            folder.In("survey.csv"),
            File.ReadAllText(folder.In("survey.csv")).Replace("M1,", "M4,as-found,frame,across,0.4,right,,,\nM1,", StringComparison.Ordinal)
        );
        desk.Remove(shown);
        Assert.Equal(["M4", "M1", "M3"], desk.View.Readings.Select(r => r.MotorId));
    }

    [Theory]
    [Trait("Category", "Slow")]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_log_is_read_once_for_the_answer_and_for_how_it_was_understood(bool placed)
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa", placed ? [] : ["job.toml"]);
        using Desk desk = new(new JobFolder(folder.Path));
        await UntilAsync(() => desk.View.Answer is { Works: false, Result: not null } && desk.View.Logs.All(l => l.State == LogState.Read));
        Assert.Equal(4, desk.View.Logs.Count);

        // One reading of a log makes one record.
        foreach (
            FlightInput input in desk.View.Answer.Result!.Whole.Before.Concat(desk.View.Answer.Result.Whole.After).Select(f => f.Input)
        )
        {
            Assert.Same(input.Imu, desk.View.Log(input.Imu.Path)!.Record);
            Assert.Same(input.Esc, desk.View.Log(input.Esc!.Path)!.Record);
        }
    }

    private static Task UntilAsync(Func<bool> done) => Patience.UntilAsync(done, "the state of the workbench");

    [Fact]
    public async Task A_second_workbench_leaves_an_upload_of_the_first_alone_and_removes_what_a_dead_one_left()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        string left = Directory.CreateDirectory(folder.In(Path.Combine("logs", ".upload-left"))).FullName;
        await File.WriteAllTextAsync(Path.Combine(left, "log.part"), "1,2\n", TestContext.Current.CancellationToken);
        using var pipe = new AnonymousPipeServerStream(PipeDirection.Out);
        using var content = new AnonymousPipeClientStream(PipeDirection.In, pipe.ClientSafePipeHandle);
        JobFolder first = new(folder.Path),
            second = new(folder.Path);
        Task<string> upload = Task.Run(() => first.Take("before.csv", content, null));
        pipe.Write("time_s,acc_x_g\n"u8);
        await UntilAsync(() => Directory.EnumerateFiles(folder.In("logs"), "*.part", SearchOption.AllDirectories).Count() == 2);
        second.RemoveDrafts();
        Assert.False(Directory.Exists(left));
        pipe.Write("0,1\n"u8);
        pipe.Dispose();
        Assert.Equal("time_s,acc_x_g\n0,1\n", await File.ReadAllTextAsync(await upload, TestContext.Current.CancellationToken));
        Assert.Equal(["before.csv"], Directory.EnumerateFileSystemEntries(folder.In("logs")).Select(Path.GetFileName));
    }

    [Fact]
    public void Files_that_a_person_wrote_keep_their_comments_when_the_desk_writes_them()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        string airframe = folder.In("airframe.toml"),
            job = folder.In("job.toml");
        File.WriteAllText(airframe, "# weighed in spring\n" + File.ReadAllText(airframe));
        File.WriteAllText(
            job,
            File.ReadAllText(job).Replace("ambient_c", "# by the thermometer in the shade\nambient_c", StringComparison.Ordinal)
        );
        using Desk desk = new(new JobFolder(folder.Path));
        desk.Save(desk.View.Airframe! with { MassKg = 7.25 });
        desk.ChangeJob(j => j with { Customer = "Demo customer", Before = [.. j.Before.Select(f => f with { AmbientC = 22.5 })] });
        Assert.StartsWith("# weighed in spring\n", File.ReadAllText(airframe), StringComparison.Ordinal);
        Assert.Equal(7.25, AirframeFile.Read(airframe).MassKg);
        Assert.Contains("# by the thermometer in the shade\nambient_c = 22.5", File.ReadAllText(job), StringComparison.Ordinal);
        Assert.Equal(("Demo customer", 22.5), (JobFile.Read(job).Customer, JobFile.Read(job).Before[0].AmbientC));
    }

    [Fact]
    public void A_history_keeps_its_stages_when_its_survey_begins()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa", "survey.csv");
        File.WriteAllText(
            folder.In("job.toml"),
            """
            title = "Life"
            airframe = "airframe.toml"
            [[stage]]
            name = "as built"
            date = "2026-03-01"
            [[stage.flight]]
            imu = "before-1/imu.csv"
            [[stage]]
            name = "shims"
            date = "2026-04-02"
            [[stage.flight]]
            imu = "after-1/imu.csv"

            """
        );
        using Desk desk = new(new JobFolder(folder.Path));
        desk.Add([Reading("M1", 0.1)]);
        Job job = JobFile.Read(folder.In("job.toml"));
        Assert.Equal(["as built", "shims"], job.Stages.Select(s => s.Name));
        Assert.Equal(folder.In("survey.csv"), job.Survey);
    }

    [Fact]
    public void Readings_aircraft_and_columns_go_to_the_files_that_the_job_names()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        Directory.CreateDirectory(folder.In("spring"));
        File.Move(folder.In("survey.csv"), folder.In("spring/mounts.csv"));
        File.Move(folder.In("airframe.toml"), folder.In("spring/craft.toml"));
        File.WriteAllText(folder.In("spring/columns.toml"), "[[column]]\nheader = \"spare\"\nis = \"ignore\"\n");
        string job = File.ReadAllText(folder.In("job.toml"));
        Assert.Contains("airframe = \"airframe.toml\"\nsurvey = \"survey.csv\"", job, StringComparison.Ordinal);
        File.WriteAllText(
            folder.In("job.toml"),
            job.Replace(
                "airframe = \"airframe.toml\"\nsurvey = \"survey.csv\"",
                "airframe = \"spring/craft.toml\"\nsurvey = \"spring/mounts.csv\"\ncolumns = \"spring/columns.toml\"",
                StringComparison.Ordinal
            )
        );
        using Desk desk = new(new JobFolder(folder.Path));
        int before = desk.View.Readings.Count;
        desk.Add([Reading("M1", 0.1)]);
        desk.Save(desk.View.Airframe! with { MassKg = 7.25 });
        desk.SayColumn(new("other", "ignore", null, null));
        Assert.Equal(before + 1, desk.View.Readings.Count);
        desk.Remove(desk.View.Readings[^1]);
        Assert.Equal(
            before,
            SurveyFile.ReadReadings(folder.In("spring/mounts.csv"), AirframeFile.Read(folder.In("spring/craft.toml"))).Count
        );
        Assert.Equal(7.25, AirframeFile.Read(folder.In("spring/craft.toml")).MassKg);
        Assert.Equal(["spare", "other"], ColumnsFile.Read(folder.In("spring/columns.toml")).Columns.Select(c => c.Header));
        Assert.Equal(folder.In("spring/columns.toml"), Path.GetFullPath(JobFile.Read(folder.Path).Columns!));
        Assert.DoesNotContain("spring/mounts.csv", desk.View.Logs.Select(l => l.Name));
        Assert.False(
            File.Exists(folder.In("survey.csv")) || File.Exists(folder.In("airframe.toml")) || File.Exists(folder.In("columns.toml"))
        );
    }

    [Fact]
    public void A_job_file_changed_by_hand_while_the_desk_is_open_says_where_the_next_reading_goes()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using Desk desk = new(new JobFolder(folder.Path));
        string survey = File.ReadAllText(folder.In("survey.csv")),
            job = File.ReadAllText(folder.In("job.toml"));
        File.WriteAllText(folder.In("second.csv"), "motor,when,where,direction,angle_deg,low_side,note\n");
        File.WriteAllText(folder.In("job.toml"), job.Replace("survey.csv", "second.csv", StringComparison.Ordinal));
        desk.Add([Reading("M1", 0.1)]);
        Assert.Equal(survey, File.ReadAllText(folder.In("survey.csv")));
        Assert.Single(desk.View.Readings);

        // A file half written by an editor: the file for the readings is unknown, so nothing is written.
        File.WriteAllText(folder.In("job.toml"), "survey = \"");
        Assert.Throws<InputFaultException>(() => desk.Add([Reading("M1", 0.2)]));
        Assert.Equal(survey, File.ReadAllText(folder.In("survey.csv")));
    }

    [Fact]
    public void A_file_outside_the_folder_is_read_and_not_written()
    {
        using ScratchFolder all = ScratchFolder.Of("reshim-hexa");
        string folder = Directory.CreateDirectory(all.In("job")).FullName;
        File.WriteAllText(Path.Combine(folder, "job.toml"), "airframe = \"../airframe.toml\"\nsurvey = \"../survey.csv\"\n");
        string airframe = File.ReadAllText(all.In("airframe.toml")),
            survey = File.ReadAllText(all.In("survey.csv"));
        using Desk desk = new(new JobFolder(folder));
        Assert.NotEmpty(desk.View.Readings);
        Assert.Contains(
            "../survey.csv",
            Assert.Throws<OutsideFolderException>(() => desk.Add([Reading("M1", 0.1)])).Message,
            StringComparison.Ordinal
        );
        Assert.Throws<OutsideFolderException>(() => desk.Remove(desk.View.Readings[0]));
        Assert.Throws<OutsideFolderException>(() => desk.Save(desk.View.Airframe! with { MassKg = 1 }));
        Assert.Equal((airframe, survey), (File.ReadAllText(all.In("airframe.toml")), File.ReadAllText(all.In("survey.csv"))));
        Assert.False(File.Exists(Path.Combine(folder, "airframe.toml")) || File.Exists(Path.Combine(folder, "survey.csv")));
    }

    [Fact]
    public void A_reading_is_not_written_to_a_file_that_is_no_survey()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        string log = File.ReadAllText(folder.In("before-1/esc.csv")),
            job = File.ReadAllText(folder.In("job.toml"));
        File.WriteAllText(folder.In("job.toml"), job.Replace("\"survey.csv\"", "\"before-1/esc.csv\"", StringComparison.Ordinal));
        using Desk desk = new(new JobFolder(folder.Path));
        Assert.Throws<InputFaultException>(() => desk.Add([Reading("M1", 0.1)]));
        Assert.Equal(log, File.ReadAllText(folder.In("before-1/esc.csv")));
    }

    [Fact]
    public void An_airframe_file_with_a_typing_error_is_kept_when_another_aircraft_is_saved_in_its_place()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        string faulty = File.ReadAllText(folder.In("airframe.toml")).Replace("arm_m", "arm_n", StringComparison.Ordinal);
        File.WriteAllText(folder.In("airframe.toml"), faulty);
        using Desk desk = new(new JobFolder(folder.Path));
        Assert.Null(desk.View.Airframe);
        desk.Save(AircraftDraft.New("Another").Airframe);
        Assert.Equal("Another", AirframeFile.Read(folder.In("airframe.toml")).Name);
        Assert.Equal(faulty, File.ReadAllText(folder.In("airframe-unreadable.toml")));
        Assert.Contains("airframe-unreadable.toml", Assert.Single(desk.View.Notices), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("reshim-hexa")]
    [InlineData("null-hexa")]
    public void An_airframe_saved_as_it_was_drawn_reads_back_the_same(string sample)
    {
        using ScratchFolder folder = ScratchFolder.Of(sample);
        Airframe before = AirframeFile.Read(folder.In("airframe.toml"));
        using Desk desk = new(new JobFolder(folder.Path));
        desk.Save(AircraftDraft.Of(before).Airframe);
        AssertSame(before, AirframeFile.Read(folder.In("airframe.toml")));
    }

    [Fact]
    public void Keys_of_an_airframe_that_only_the_file_has_are_kept()
    {
        const string Text = """
            name = "All of it"
            mass_kg = 2.5
            torque_per_thrust_m = 0.017
            [bolts]
            pattern = "16x19"
            [shim_kit]
            thickness_mm = [0.1, 0.25]
            max_stack = 3
            count = [4, 2]
            [gauge]
            resolution_deg = 0.1
            repeatability_deg = 0.02
            [screws]
            length_mm = 8
            diameter_mm = 3
            clamped_mm = 4
            [[motor]]
            id = "front"
            azimuth_deg = 10
            arm_m = 0.2
            spin = "cw"
            blades = 3
            [motor.bolts]
            places_mm = [[8, 0], [-4, 7], [-4, -7]]
            [[motor]]
            id = "rear"
            azimuth_deg = 175.5
            arm_m = 0.31
            spin = "ccw"
            """;
        using ScratchFolder folder = ScratchFolder.Empty();
        File.WriteAllText(folder.In("airframe.toml"), Text);
        Airframe before = AirframeFile.Read(folder.In("airframe.toml"));
        using Desk desk = new(new JobFolder(folder.Path));
        desk.Save(AircraftDraft.Of(before).Airframe);
        AssertSame(before, AirframeFile.Read(folder.In("airframe.toml")));
    }

    [Fact]
    public void Other_keys_of_a_job_file_are_kept_when_a_flight_moves()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        File.WriteAllText(
            folder.In("job.toml"),
            File.ReadAllText(folder.In("job.toml"))
                .Replace(
                    "[[before]]",
                    "customer = \"A \\\"b\\\"\"\n[thresholds]\nchange_db = 2.5\n\n[[before]]\nname = \"first\"",
                    StringComparison.Ordinal
                )
        );
        using Desk desk = new(new JobFolder(folder.Path));
        Job before = desk.View.Job!;
        desk.ChangeJob(job => FlightPlacing.Moved(FlightPlacing.Moved(job, job.After[0]), job.After[0]));
        Job after = JobFile.Read(folder.Path);
        Assert.Equal((before.Title, before.Customer, before.Options), (after.Title, after.Customer, after.Options));
        Assert.Equal(["first", null], after.Before.Concat(after.After).Select(f => f.Name));
        Assert.Equal([21.0, 24.0], after.Before.Concat(after.After).Select(f => f.AmbientC));
    }

    [Theory]
    [InlineData("../../etc/passwd.csv", "etc/passwd.csv")]
    [InlineData("a/b/c/imu.csv", "c/imu.csv")]
    [InlineData("..\\nul.csv", "log/_nul.csv")]
    [InlineData("x<y>.csv.gz", "x_y_.csv.gz")]
    [InlineData("....csv", "log.csv")]
    [InlineData("COM7.csv", "_COM7.csv")]
    [InlineData("lpt9.before.csv", "_lpt9.before.csv")]
    [InlineData("com10.csv", "com10.csv")]
    public void A_name_becomes_one_that_is_plain_on_any_system(string given, string safe) =>
        Assert.Equal(safe, string.Join('/', JobFolder.SafeParts(given)));

    [Fact]
    public void A_long_name_in_letters_of_several_bytes_is_one_that_file_systems_take()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        using var content = new MemoryStream("time_s\n"u8.ToArray());
        string path = new JobFolder(folder.Path).Take(new string('飞', 120) + ".csv", content, null);
        Assert.True(File.Exists(path));
        Assert.EndsWith("飞.csv", path, StringComparison.Ordinal);
    }

    // 1 inch is 25.4 mm exactly: International yard and pound agreement of 1959.
    [Theory]
    [InlineData("0.004 in", false, new[] { 0.1016 })]
    [InlineData("0,004 in", false, new[] { 0.1016 })]
    [InlineData("0,004 in; 0,008 in", false, new[] { 0.1016, 0.2032 })]
    [InlineData("0.004in, 0.008in", false, new[] { 0.1016, 0.2032 })]
    [InlineData("0.004 0.008 in", false, new[] { 0.1016, 0.2032 })]
    [InlineData("0.004\" 0.008\"", false, new[] { 0.1016, 0.2032 })]
    [InlineData("0.008 0.004", true, new[] { 0.1016, 0.2032 })]
    [InlineData("0,5 mm 0.004", true, new[] { 0.1016, 0.5 })]
    [InlineData("0,1, 0,2", false, new[] { 0.1, 0.2 })]
    public void A_shim_kit_is_read_in_the_unit_that_is_typed(string text, bool inch, double[] mm) =>
        Assert.Equal(mm, AircraftDraft.KitOf(text, inch, ShimKit.Usual)!.ThicknessesMm);

    [Theory]
    [InlineData("")]
    [InlineData("in")]
    [InlineData("mm 0.1")]
    [InlineData("0.1 furlong")]
    [InlineData("0,1,0,2")]
    [InlineData("9")]
    public void An_invalid_shim_kit_is_refused(string text) => Assert.Null(AircraftDraft.KitOf(text, inch: false, ShimKit.Usual));

    [Fact]
    public void A_kit_shown_in_inch_and_saved_unchanged_stays_the_same_kit()
    {
        var kit = new ShimKit([0.05, 0.1, 0.25], 3) { Counts = [4, 2, 7] };
        string shown = string.Join(' ', kit.ThicknessesMm.Select(t => AircraftDraft.Shown(t, inch: true)));
        Assert.Equal("0.002 0.0039 0.0098", shown);
        ShimKit back = AircraftDraft.KitOf(shown, inch: true, kit)!;
        Assert.Equal(kit.MaxStack, back.MaxStack);
        Assert.Equal(kit.ThicknessesMm, back.ThicknessesMm);
        Assert.Equal(kit.Counts, back.Counts);
        ShimKit fewer = AircraftDraft.KitOf("0.0098 0.002", inch: true, kit)!;
        Assert.Equal([0.05, 0.25], fewer.ThicknessesMm);
        Assert.Equal([4, 7], fewer.Counts!);
        Assert.Null(AircraftDraft.KitOf(shown + " 0.02", inch: true, kit)!.Counts);
    }

    [Fact]
    public void A_change_that_would_make_a_file_unreadable_is_not_written()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using Desk desk = new(new JobFolder(folder.Path));
        string job = File.ReadAllText(folder.In("job.toml")),
            airframe = File.ReadAllText(folder.In("airframe.toml"));

        // A hover that ends before it begins, and a motor without an arm length.
        string why = Assert
            .Throws<UnfitChangeException>(() =>
                desk.ChangeJob(j => j with { Before = [.. j.Before.Select(f => f with { HoverS = new(150, 140) })] })
            )
            .Message;
        Assert.Contains("'hover_s' is not a part of a flight of 2 s or more", why, StringComparison.Ordinal);
        Airframe drawn = desk.View.Airframe!;
        Assert.Throws<UnfitChangeException>(() => desk.Save(drawn with { Motors = [.. drawn.Motors.Select(m => m with { ArmM = -1 })] }));
        Assert.Equal((job, airframe), (File.ReadAllText(folder.In("job.toml")), File.ReadAllText(folder.In("airframe.toml"))));
        Assert.NotNull(desk.View.Job);
    }

    [Fact]
    public void A_header_with_control_characters_is_kept_in_a_columns_file_that_can_be_read()
    {
        using ScratchFolder folder = ScratchFolder.Empty();
        using Desk desk = new(new JobFolder(folder.Path));
        desk.SayColumn(new("spare\u0001\t\"\\", "ignore", null, null));
        desk.SayColumn(new("other", "ignore", null, null));
        Assert.Equal(["spare\u0001\t\"\\", "other"], ColumnsFile.Read(folder.In("columns.toml")).Columns.Select(c => c.Header));
    }

    [Fact]
    public void A_log_is_not_placed_on_a_side_of_a_job_with_stages()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        File.WriteAllText(
            folder.In("job.toml"),
            "airframe = \"airframe.toml\"\n[[stage]]\nname = \"as built\"\ndate = \"2026-03-01\"\n[[stage.flight]]\nimu = \"before-1/imu.csv\"\n"
        );
        using Desk desk = new(new JobFolder(folder.Path));
        desk.ChangeJob(job => FlightPlacing.With(job, folder.In("after-1/imu.csv"), isAfter: true));
        Assert.Single(desk.View.Job!.Stages);
    }

    [Fact]
    public void A_motor_is_not_named_as_a_survey_names_the_hub() => Assert.Null(AircraftDraft.New("A").WithNames("M1 M2 * M4"));

    [Fact]
    public void A_log_that_two_pages_place_is_in_one_flight_and_a_flight_that_is_gone_does_not_come_back_by_moving_it()
    {
        using ScratchFolder folder = ScratchFolder.Of("reshim-hexa");
        using Desk desk = new(new JobFolder(folder.Path));
        JobFlight flight = desk.View.Job!.Before[0];
        desk.ChangeJob(job => FlightPlacing.Without(job, flight));
        desk.ChangeJob(job => FlightPlacing.With(job, flight.Files.Imu[0], isAfter: false));
        desk.ChangeJob(job => FlightPlacing.With(job, flight.Files.Imu[0], isAfter: true));
        Job now = JobFile.Read(folder.Path);
        Assert.Equal((1, 1), (now.Before.Count, now.After.Count));
        desk.ChangeJob(job => FlightPlacing.WithTelemetry(job, job.Before[0], flight.Files.Esc[0]));
        desk.ChangeJob(job => FlightPlacing.WithTelemetry(job, job.After[0], flight.Files.Esc[0]));
        now = JobFile.Read(folder.Path);
        Assert.Equal((1, 1), (now.Before[0].Files.Esc.Count, now.After[0].Files.Esc.Count));
        desk.ChangeJob(job => FlightPlacing.Without(job, flight));
        desk.ChangeJob(job => FlightPlacing.Moved(job, flight));
        Assert.Empty(desk.View.Job!.Before);
        Assert.Single(desk.View.Job.After);
    }

    private static GaugeReading Reading(string motor, double deg) =>
        new()
        {
            MotorId = motor,
            When = SurveyTime.AsFound,
            Where = GaugePlace.Frame,
            Direction = TiltDirection.Across,
            LowDeg = deg,
            HighDeg = deg,
            LowSide = LowSide.Right,
        };

    private static void AssertSame(Airframe a, Airframe b)
    {
        Assert.Equal((a.Name, a.MassKg, a.TorquePerThrustM, a.Gauge, a.Screws), (b.Name, b.MassKg, b.TorquePerThrustM, b.Gauge, b.Screws));
        Assert.Equal(a.Motors.Select(m => m with { Bolts = null }), b.Motors.Select(m => m with { Bolts = null }));
        Assert.Equal(a.ShimKit?.ThicknessesMm, b.ShimKit?.ThicknessesMm);
        Assert.Equal((a.ShimKit?.MaxStack, a.ShimKit?.Counts?.Count), (b.ShimKit?.MaxStack, b.ShimKit?.Counts?.Count));
        Assert.Equal(
            a.Motors.Select(m => a.BoltsOf(m)).Prepend(a.Bolts).SelectMany(p => p?.Bolts ?? []),
            b.Motors.Select(m => b.BoltsOf(m)).Prepend(b.Bolts).SelectMany(p => p?.Bolts ?? [])
        );
    }
}
