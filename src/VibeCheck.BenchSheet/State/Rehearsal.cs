using System.Text.Json;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Sheets;

namespace VibeCheck.BenchSheet.State;

/// <summary>A survey of a made-up aircraft that is not stored. It runs the code of every screen, of a reading and of sending it once before
/// they are needed, because the first run of code is slow.</summary>
internal sealed class Rehearsal
{
    private const string Job = "rehearsal";
    private const string Airframe = """
        name = "Rehearsal"
        [bolts]
        across_mm = 28.6
        along_mm = 28.6
        [[motor]]
        id = "M1"
        azimuth_deg = 45
        arm_m = 0.3
        spin = "cw"
        [[motor]]
        id = "M2"
        azimuth_deg = 225
        arm_m = 0.3
        spin = "ccw"
        """;

    private readonly Nowhere _nowhere = new();

    /// <summary>The temporary store of the survey.</summary>
    internal SheetStore Store { get; }

    /// <summary>A rehearsal that has not started.</summary>
    internal Rehearsal() => Store = new(_nowhere);

    /// <summary>The sheet after each tap: from the aircraft to a motor, its readings, its shims, the settings, and back.</summary>
    internal IEnumerable<Sheet> Steps()
    {
        Store.Keep(Job, About);
        if (Sheet.Open(Store, Job, () => DateTimeOffset.UnixEpoch).Sheet is not Sheet sheet)
        {
            yield break;
        }

        foreach (Action<Sheet> tap in Taps(sheet.Airframe.Motors[0]))
        {
            yield return sheet;
            tap(sheet);
        }

        yield return sheet;
    }

    /// <summary>Sends the readings of a sheet to a server that discards them.</summary>
    internal Task Send(Sheet sheet) => new Outbox(Store, _nowhere).Send(sheet);

    private static SheetJob About => new() { Job = Job, AirframeToml = Airframe };

    private static IEnumerable<Action<Sheet>> Taps(Motor motor) =>
        [
            s => s.Tick(null, SheetBox.PropellersOff),
            s => s.ShowMotor(motor),
            s => Read(s, '1', LowSide.Right),
            s => Read(s, '5', LowSide.Right),
            s => Read(s, '1', LowSide.Out),
            s => Read(s, '2', LowSide.In),
            s => s.ChooseFitting(),
            s => s.Tick(motor.Id, SheetBox.ShimsFitted),
            s => s.ShowMotor(motor),
            s => Read(s, '1', LowSide.Left),
            s => Read(s, '1', LowSide.Right),
            s => Read(s, '1', LowSide.In),
            s => Read(s, '0', LowSide.In),
            s => s.Show(Screen.Aircraft),
            s => s.ShowMotor(motor),
            s => s.Choose(SurveyTime.AsFound),
            s => s.Undo(),
            s => s.Show(Screen.More),
            s => s.Show(Screen.Aircraft),
        ];

    private static void Read(Sheet sheet, char tenths, LowSide side)
    {
        sheet.Type('0');
        sheet.Type(',');
        sheet.Type(tenths);
        sheet.Tap(side);
    }

    private sealed class Nowhere : IKeyStore, ISheetServer
    {
        private readonly Dictionary<string, string> _texts = [];

        public IReadOnlyList<string> Keys(string prefix) => [.. _texts.Keys.Where(k => k.StartsWith(prefix, StringComparison.Ordinal))];

        public string? Read(string key) => _texts.GetValueOrDefault(key);

        public bool Write(string key, string text)
        {
            _texts[key] = text;
            return true;
        }

        public Task<ServerAnswer> GetJob() =>
            Task.FromResult(new ServerAnswer(200, JsonSerializer.Serialize(About, SheetJson.Default.SheetJob)));

        public Task<ServerAnswer> PostEntries(string json, string token)
        {
            SheetEntries sent = SheetJson.Read(json, SheetJson.Default.SheetEntries)!;
            SheetReceipt receipt = new([.. sent.Entries.Select(e => e.Id)], []);
            return Task.FromResult(new ServerAnswer(200, JsonSerializer.Serialize(receipt, SheetJson.Default.SheetReceipt)));
        }
    }
}
