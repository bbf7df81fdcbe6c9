using System.Text.Json;
using VibeCheck.BenchSheet.State;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Sheets;

namespace VibeCheck.BenchSheet.Tests.State;

public sealed class OutboxTests
{
    private const string Toml =
        "name = \"two\"\n[[motor]]\nid = \"M1\"\nazimuth_deg = 90\narm_m = 0.3\nspin = \"cw\"\n[[motor]]\nid = \"M2\"\nazimuth_deg = "
        + "270\narm_m = 0.3\nspin = \"ccw\"\n";

    private readonly MemoryStore _keys = new();
    private readonly FakeServer _server = new();

    private (Sheet, Outbox, SheetStore) Start()
    {
        var store = new SheetStore(_keys);
        store.Keep("job", new SheetJob { Job = "job", AirframeToml = Toml });
        return (Sheet.Open(store, "job", () => DateTimeOffset.UnixEpoch).Sheet!, new(store, _server), store);
    }

    private static void Read(Sheet sheet, int count)
    {
        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        for (int i = 0; i < count; i++)
        {
            sheet.Choose(WorkStep.InOrder[0]);
            sheet.Type('1');
            sheet.Tap(LowSide.Right);
        }
    }

    [Fact]
    public async Task Every_entry_arrives_once_when_answers_are_lost()
    {
        (Sheet sheet, Outbox outbox, SheetStore store) = Start();
        Read(sheet, 3);
        _server.LoseAnswers = 2;
        for (int i = 0; i < 3; i++)
        {
            await outbox.Send(sheet);
        }

        Assert.Equal(sheet.Entries.Select(e => e.Id), _server.Kept.Select(e => e.Id));
        Assert.Empty(Outbox.Unsent(store, "job", sheet.Entries));
        Assert.Equal(Connection.Connected, outbox.Connection);
    }

    [Fact]
    public async Task Without_an_answer_all_waits_and_the_next_try_comes_later_and_later()
    {
        (Sheet sheet, Outbox outbox, SheetStore store) = Start();
        Read(sheet, 1);
        _server.IsOff = true;
        var waits = new List<double>();
        for (int i = 0; i < 6; i++)
        {
            await outbox.Send(sheet);
            waits.Add(outbox.RetryAfter!.Value.TotalSeconds);
        }

        Assert.Equal([2, 4, 8, 16, 30, 30], waits);
        Assert.Single(Outbox.Unsent(store, "job", sheet.Entries));
        _server.IsOff = false;
        await outbox.Send(sheet);
        Assert.Single(_server.Kept);
        Assert.Null(outbox.RetryAfter);
    }

    [Fact]
    public async Task More_entries_than_one_request_takes_go_in_several()
    {
        (Sheet sheet, Outbox outbox, SheetStore store) = Start();
        Read(sheet, SheetEntries.MostAtOnce + 1);
        await outbox.Send(sheet);
        Assert.Equal(SheetEntries.MostAtOnce + 1, _server.Kept.Count);
        Assert.Equal(2, _server.Posts);
        Assert.Empty(Outbox.Unsent(store, "job", sheet.Entries));
    }

    [Fact]
    public async Task Readings_that_the_server_has_from_elsewhere_are_added_and_not_sent_back()
    {
        (Sheet sheet, Outbox outbox, SheetStore store) = Start();
        _server.Kept.Add(
            new ReadingEntry(Guid.NewGuid(), DateTimeOffset.UnixEpoch)
            {
                Motor = "M2",
                When = SurveyTime.AsFound,
                Where = GaugePlace.Mount,
                Direction = TiltDirection.Across,
                LowDeg = 0.3,
                HighDeg = 0.3,
                LowSide = LowSide.Left,
            }
        );
        Read(sheet, 1);
        await outbox.Send(sheet);
        Assert.Equal(["M1", "M2"], sheet.Ledger.Readings.Select(r => r.Motor).Order());
        Assert.Equal(2, _server.Kept.Count);
        Assert.Empty(Outbox.Unsent(store, "job", sheet.Entries));
    }

    [Fact]
    public async Task Entries_of_one_job_are_not_sent_to_another()
    {
        (Sheet sheet, Outbox outbox, SheetStore store) = Start();
        Read(sheet, 1);
        _server.Job = "another";
        await outbox.Send(sheet);
        Assert.Equal(Connection.OtherJob, outbox.Connection);
        Assert.Empty(_server.Kept);
        Assert.Single(Outbox.Unsent(store, "job", sheet.Entries));
    }

    [Fact]
    public void Entries_read_back_from_JSON_are_the_same()
    {
        (Sheet sheet, _, _) = Start();
        Read(sheet, 1);
        sheet.Tick("M1", SheetBox.Torqued);
        sheet.Undo();
        string json = JsonSerializer.Serialize(new SheetEntries("job", sheet.Entries), SheetJson.Default.SheetEntries);
        Assert.Equal(sheet.Entries, SheetJson.Read(json, SheetJson.Default.SheetEntries)!.Entries);
        Assert.Contains("\"kind\":\"reading\"", json, StringComparison.Ordinal);
        Assert.Contains("\"when\":\"as-found\"", json, StringComparison.Ordinal);
        Assert.Contains("\"low_deg\":1", json, StringComparison.Ordinal);
        Assert.Contains("\"box\":\"torqued\"", json, StringComparison.Ordinal);
    }

    private sealed class FakeServer : ISheetServer
    {
        internal List<SheetEntry> Kept { get; } = [];

        internal string Job { get; set; } = "job";

        internal int LoseAnswers { get; set; }

        internal bool IsOff { get; set; }

        internal int Posts { get; private set; }

        public Task<ServerAnswer> GetJob() =>
            Task.FromResult(
                IsOff
                    ? new ServerAnswer(0, "")
                    : new(
                        200,
                        JsonSerializer.Serialize(
                            new SheetJob
                            {
                                Job = Job,
                                AirframeToml = Toml,
                                Entries = Kept,
                            },
                            SheetJson.Default.SheetJob
                        )
                    )
            );

        public Task<ServerAnswer> PostEntries(string json, string token)
        {
            if (IsOff)
            {
                return Task.FromResult(new ServerAnswer(0, ""));
            }

            Posts++;
            SheetEntries sent = SheetJson.Read(json, SheetJson.Default.SheetEntries)!;
            Kept.AddRange(sent.Entries.Where(e => Kept.All(k => k.Id != e.Id)));
            return Task.FromResult(
                LoseAnswers-- > 0
                    ? new ServerAnswer(0, "")
                    : new(
                        200,
                        JsonSerializer.Serialize(new SheetReceipt([.. sent.Entries.Select(e => e.Id)], []), SheetJson.Default.SheetReceipt)
                    )
            );
        }
    }
}
