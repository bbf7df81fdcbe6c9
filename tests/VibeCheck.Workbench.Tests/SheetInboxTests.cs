using System.Net;
using System.Net.Http.Json;
using Microsoft.AspNetCore.Builder;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Sheets;
using VibeCheck.Logs.Surveys;
using VibeCheck.Workbench.Jobs;
using VibeCheck.Workbench.Sharing;

namespace VibeCheck.Workbench.Tests;

public sealed class SheetInboxTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("vibecheck-sheet").FullName;
    private int _second;

    public SheetInboxTests() =>
        File.Copy(Path.Combine(Repository.Root, "sample-logs", "reshim-hexa", "airframe.toml"), In("airframe.toml"));

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string In(string name) => Path.Combine(_folder, name);

    private string[] Rows => [.. File.ReadAllLines(In("survey.csv")).Where(line => !line.StartsWith('#')).Skip(1)];

    private SheetInbox Open() => new(new Desk(new JobFolder(_folder)));

    private ReadingEntry Reading(string motor, double deg) =>
        new(Guid.NewGuid(), DateTimeOffset.UnixEpoch.AddDays(1).AddSeconds(++_second))
        {
            Motor = motor,
            When = SurveyTime.AsFound,
            Where = GaugePlace.Mount,
            Direction = TiltDirection.Across,
            LowDeg = deg,
            HighDeg = deg,
            LowSide = LowSide.Right,
        };

    [Fact]
    public void An_entry_that_comes_again_counts_once_also_after_a_new_start()
    {
        ReadingEntry one = Reading("M1", 0.4),
            two = Reading("M1", 0.4);
        SheetInbox inbox = Open();
        Assert.Equal([one.Id, two.Id], inbox.Take([one, two]).Accepted);
        Assert.Equal([one.Id], inbox.Take([one]).Accepted);
        Assert.Equal([two.Id], Open().Take([two]).Accepted);
        Assert.Equal(2, Rows.Length);
        Assert.All(Rows, row => Assert.Equal("M1,as-found,mount,across,0.4,right,,,", row));
    }

    [Fact]
    public void A_withdrawn_reading_is_removed_from_the_survey_and_an_equal_one_stays()
    {
        ReadingEntry one = Reading("M1", 0.4),
            two = Reading("M1", 0.4);
        SheetInbox inbox = Open();
        inbox.Take([one, two]);
        inbox.Take([new WithdrawalEntry(Guid.NewGuid(), DateTimeOffset.UnixEpoch.AddDays(2), one.Id)]);
        Assert.Single(Rows);
        Assert.Equal([two.Id], new SheetLedger(inbox.Job(null).Entries).Readings.Select(r => r.Id));
    }

    [Fact]
    public void A_survey_begun_without_a_column_for_shims_gets_one_and_no_reading_is_taken_for_withdrawn()
    {
        ReadingEntry found = Reading("M1", 0.4),
            noted = Reading("M2", 0.2) with { When = SurveyTime.AsLeft, Shims = "right 0.2" },
            left = Reading("M1", 0.1) with { When = SurveyTime.AsLeft, Shims = "right-out 0.2; right-in 0.2" };
        File.WriteAllText(
            In("survey.csv"),
            "motor,when,where,direction,angle_deg,low_side,note\nM3,as-found,mount,across,0.3,left,by hand\n"
        );
        Open().Take([found]);

        // As written by an earlier version: a reading with shims in a survey that has no column for them.
        File.AppendAllText(In("survey.csv"), $"# bench sheet {noted.Id}\nM2,as-left,mount,across,0.2,right,\n");
        Open().Take([noted, left]);
        Open().Take([left]);
        string[] lines = File.ReadAllLines(In("survey.csv"));
        Assert.Equal("motor,when,where,direction,angle_deg,low_side,note,shims", lines[0]);
        Assert.Equal(
            [
                "M3,as-found,mount,across,0.3,left,by hand",
                "M1,as-found,mount,across,0.4,right,",
                "M2,as-left,mount,across,0.2,right,",
                "M1,as-left,mount,across,0.1,right,,\"right-out 0.2; right-in 0.2\"",
            ],
            Rows
        );
        Assert.Equal(3, new SheetLedger(Open().Job(null).Entries).Readings.Count(r => r.Motor != "M3"));
    }

    // The program was killed after the entries were stored and before survey.csv was written.
    [Fact]
    public void A_stop_between_the_two_files_neither_loses_nor_repeats_an_entry()
    {
        Open().Take([Reading("M1", 0.4)]);
        string before = File.ReadAllText(In("survey.csv"));
        ReadingEntry late = Reading("M2", 0.2);
        Open().Take([late]);
        File.WriteAllText(In("survey.csv"), before);
        Assert.Equal([late.Id], Open().Take([late]).Accepted);
        Assert.Equal(["M1,as-found,mount,across,0.4,right,,,", "M2,as-found,mount,across,0.2,right,,,"], Rows);
    }

    [Fact]
    public void Readings_of_the_desk_reach_the_sheet_and_those_deleted_there_leave_it()
    {
        var desk = new Desk(new JobFolder(_folder));
        var inbox = new SheetInbox(desk);
        ReadingEntry gone = Reading("M1", 0.4),
            stays = Reading("M3", 0.1);
        inbox.Take([gone, stays]);
        desk.Remove(desk.View.Readings[0]);
        desk.Add([SheetLedger.ToReading(Reading("M2", 0.3), desk.View.Airframe!).Reading!]);
        IReadOnlyList<SheetEntry> entries = inbox.Job(null).Entries;
        Assert.Equal(["M2", "M3"], new SheetLedger(entries).Readings.Select(r => r.Motor).Order());
        Assert.Equal(entries, inbox.Job(null).Entries);
    }

    [Fact]
    public void Entries_that_do_not_fit_the_airframe_are_refused_with_the_reason()
    {
        ReadingEntry odd = Reading("M9", 0.4);
        SheetReceipt receipt = Open().Take([odd]);
        Assert.Empty(receipt.Accepted);
        Assert.Equal([new RefusedEntry(odd.Id, "The airframe has no motor M9.")], receipt.Refused);
        Assert.False(File.Exists(In("survey.csv")));
    }

    [Fact]
    public void Readings_go_to_the_survey_that_the_job_names()
    {
        Directory.CreateDirectory(In("spring"));
        File.Move(In("airframe.toml"), In("spring/craft.toml"));
        File.WriteAllText(
            In("spring/mounts.csv"),
            "motor,when,where,direction,angle_deg,low_side,note\nM3,as-found,mount,across,0.3,left,\n"
        );
        File.WriteAllText(In("job.toml"), "airframe = \"spring/craft.toml\"\nsurvey = \"spring/mounts.csv\"\n");
        ReadingEntry one = Reading("M1", 0.4);
        SheetInbox inbox = Open();
        Assert.Equal([one.Id], inbox.Take([one]).Accepted);
        Assert.EndsWith(
            $"# bench sheet {one.Id}\nM1,as-found,mount,across,0.4,right,\n",
            File.ReadAllText(In("spring/mounts.csv")),
            StringComparison.Ordinal
        );
        Assert.False(File.Exists(In("survey.csv")));
        SheetJob job = inbox.Job(null);
        Assert.Equal(["M1", "M3"], new SheetLedger(job.Entries).Readings.Select(r => r.Motor).Order());
        Assert.Equal(File.ReadAllText(In("spring/craft.toml")), job.AirframeToml);
    }

    [Fact]
    public void Where_the_job_names_a_survey_outside_the_folder_readings_wait_on_the_phone_and_nothing_is_written_there()
    {
        string outside = Path.Combine(Path.GetTempPath(), $"{Path.GetFileName(_folder)}-outside.csv");
        const string Text = "motor,when,where,direction,angle_deg,low_side,note\nM3,as-found,mount,across,0.3,left,\n";
        File.WriteAllText(outside, Text);
        try
        {
            File.WriteAllText(In("job.toml"), $"airframe = \"airframe.toml\"\nsurvey = \"../{Path.GetFileName(outside)}\"\n");
            SheetInbox inbox = Open();
            ReadingEntry one = Reading("M1", 0.4);
            Assert.Contains(
                "outside this folder",
                Assert.ThrowsAny<IOException>(() => inbox.Take([one])).Message,
                StringComparison.Ordinal
            );
            Assert.Equal(Text, File.ReadAllText(outside));
            Assert.False(File.Exists(In("survey.csv")));

            // The same message is accepted where the job names a survey inside the folder.
            File.Copy(outside, In("mounts.csv"));
            File.WriteAllText(In("job.toml"), "airframe = \"airframe.toml\"\nsurvey = \"mounts.csv\"\n");
            Assert.Equal([one.Id], inbox.Take([one]).Accepted);
            Assert.Contains("M1,as-found,mount,across,0.4,right,", File.ReadAllText(In("mounts.csv")), StringComparison.Ordinal);
        }
        finally
        {
            File.Delete(outside);
        }
    }

    [Theory]
    [InlineData("{\"job\":\"a\",\"entries\":[{\"kind\":\"rea")]
    [InlineData("\0\0\0\0")]
    [InlineData("not this")]
    public void Entries_that_cannot_be_read_are_set_aside_and_the_work_goes_on(string damaged)
    {
        ReadingEntry stays = Reading("M1", 0.4),
            gone = Reading("M2", 0.2),
            late = Reading("M3", 0.1);
        SheetInbox before = Open();
        before.Take([stays, gone]);
        before.Take([new WithdrawalEntry(Guid.NewGuid(), DateTimeOffset.UnixEpoch.AddDays(2), gone.Id)]);
        File.WriteAllText(In("bench-sheet.json"), damaged);

        var desk = new Desk(new JobFolder(_folder));
        var inbox = new SheetInbox(desk);
        Assert.Equal([stays.Id], new SheetLedger(inbox.Job(null).Entries).Readings.Select(r => r.Id));
        Assert.Equal(damaged, File.ReadAllText(In("bench-sheet-unreadable.json")));
        Assert.Contains("bench-sheet-unreadable.json", Assert.Single(desk.View.Notices), StringComparison.Ordinal);

        // An entry that is sent again counts once, a removed entry is not added again, and a reading can still be withdrawn.
        Assert.Equal([stays.Id, gone.Id, late.Id], inbox.Take([stays, gone, late]).Accepted);
        Assert.Equal(["M1,as-found,mount,across,0.4,right,,,", "M3,as-found,mount,across,0.1,right,,,"], Rows);
        inbox.Take([new WithdrawalEntry(Guid.NewGuid(), DateTimeOffset.UnixEpoch.AddDays(3), stays.Id)]);
        Assert.Equal(["M3,as-found,mount,across,0.1,right,,,"], Rows);
        Assert.Single(desk.View.Notices);
    }

    [Fact]
    public void While_the_file_of_the_aircraft_cannot_be_read_readings_wait_on_the_phone_and_are_not_refused_for_good()
    {
        string whole = File.ReadAllText(In("airframe.toml"));
        SheetInbox inbox = Open();
        ReadingEntry one = Reading("M1", 0.4);
        File.WriteAllText(In("airframe.toml"), whole.Replace("[[motor]]", "[[motor", StringComparison.Ordinal));
        Assert.ThrowsAny<InputFaultException>(() => inbox.Take([one]));
        Assert.NotNull(inbox.Job(null).AirframeToml);
        File.WriteAllText(In("airframe.toml"), whole);
        Assert.Equal([one.Id], inbox.Take([one]).Accepted);
        Assert.Single(Rows);
    }

    [Fact]
    public void A_survey_that_cannot_be_read_is_not_written_to_and_the_sheet_still_opens()
    {
        File.WriteAllText(In("survey.csv"), "time_s,acc_x_g\n0,1\n");
        SheetInbox inbox = Open();
        ReadingEntry one = Reading("M1", 0.4);
        Assert.ThrowsAny<InputFaultException>(() => inbox.Take([one]));
        Assert.Equal("time_s,acc_x_g\n0,1\n", File.ReadAllText(In("survey.csv")));
        Assert.NotNull(inbox.Job(null).AirframeToml);
    }

    [Theory]
    [InlineData("bent, \"soft\" arm; shim=0,2")]
    [InlineData("two\nlines\r\nand\ttabs ")]
    [InlineData("# bench sheet")]
    [InlineData(" \"")]
    [InlineData("torn\0\u0007\u001b[31m")]
    public void A_note_of_any_text_stays_on_its_line_and_the_survey_stays_readable(string note)
    {
        ReadingEntry one = Reading("M1", 0.4) with { Note = note },
            two = Reading("M2", 0.2);
        SheetInbox inbox = Open();
        inbox.Take([one, two]);
        inbox.Take([one]);
        SheetLedger ledger = new(inbox.Job(null).Entries);
        Assert.Equal([one.Id, two.Id], ledger.Readings.Select(r => r.Id));
        Assert.Equal(2, Rows.Length);
        Assert.Equal(2, SurveyFile.ReadReadings(In("survey.csv"), AirframeFile.Read(In("airframe.toml"))).Count);
        inbox.Take([new WithdrawalEntry(Guid.NewGuid(), DateTimeOffset.UnixEpoch.AddDays(2), one.Id)]);
        Assert.Equal(["M2,as-found,mount,across,0.2,right,,,"], Rows);
    }

    [Fact]
    public async Task The_shared_server_lets_one_phone_in_once_and_knows_the_sheet_only()
    {
        SheetInbox inbox = Open();
        var code = new ShareCode();
        string first = code.Code!;
        await using WebApplication app = ShareHost.Build(inbox, code, IPAddress.Loopback);
        await app.StartAsync(TestContext.Current.CancellationToken);
        Uri root = new(app.Urls.First());
        using var stranger = new HttpClient { BaseAddress = root };
        using var phone = new HttpClient(new HttpClientHandler { CookieContainer = new CookieContainer() }) { BaseAddress = root };
        async Task<HttpStatusCode> Get(HttpClient client, string path) =>
            (await client.GetAsync(new Uri(path, UriKind.Relative), TestContext.Current.CancellationToken)).StatusCode;

        Assert.Equal(HttpStatusCode.Forbidden, await Get(stranger, "/bench-sheet/job.json"));
        await Get(phone, "/bench-sheet/?code=" + first);
        Assert.Equal(HttpStatusCode.OK, await Get(phone, "/bench-sheet/job.json"));
        Assert.Null(code.Code);
        Assert.Equal(HttpStatusCode.Forbidden, await Get(stranger, "/bench-sheet/?code=" + first));
        async Task<string> Said(string query) =>
            await (
                await stranger.GetAsync(new Uri("/bench-sheet/" + query, UriKind.Relative), TestContext.Current.CancellationToken)
            ).Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.StartsWith("This code was used already", await Said("?code=" + first), StringComparison.Ordinal);
        Assert.StartsWith("This is not the code of the workbench that runs now", await Said("?code=0000"), StringComparison.Ordinal);
        Assert.StartsWith("This phone is not admitted yet", await Said(""), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, await Get(phone, "/"));
        Assert.Equal(HttpStatusCode.NotFound, await Get(phone, "/export/compare.json"));
        Assert.Equal(HttpStatusCode.NotFound, await Get(phone, "/bench-sheet/%2e%2e/%2e%2e/airframe.toml"));

        SheetJob job = (
            await phone.GetFromJsonAsync("/bench-sheet/job.json", SheetJson.Default.SheetJob, TestContext.Current.CancellationToken)
        )!;
        ReadingEntry reading = Reading("M1", 0.4);
        async Task<HttpResponseMessage> Post(string token, string origin)
        {
            var request = new HttpRequestMessage(HttpMethod.Post, "/bench-sheet/readings")
            {
                Content = JsonContent.Create(new SheetEntries(job.Job!, [reading]), SheetJson.Default.SheetEntries),
            };
            request.Headers.Add("X-VibeCheck-Token", token);
            request.Headers.Add("Origin", origin);
            return await phone.SendAsync(request, TestContext.Current.CancellationToken);
        }

        string own = root.ToString().TrimEnd('/');
        Assert.Equal(HttpStatusCode.Forbidden, (await Post("none", own)).StatusCode);
        Assert.Equal(HttpStatusCode.MisdirectedRequest, (await Post(job.Token!, "http://elsewhere.example")).StatusCode);
        Assert.False(File.Exists(In("survey.csv")));
        Assert.Equal(HttpStatusCode.OK, (await Post(job.Token!, own)).StatusCode);
        Assert.Equal([0.4], SurveyFile.ReadReadings(In("survey.csv"), AirframeFile.Read(In("airframe.toml"))).Select(r => r.LowDeg));

        using var rebound = new HttpRequestMessage(HttpMethod.Get, "/bench-sheet/job.json");
        rebound.Headers.Host = "elsewhere.example";
        Assert.Equal(HttpStatusCode.MisdirectedRequest, (await phone.SendAsync(rebound, TestContext.Current.CancellationToken)).StatusCode);
    }
}
