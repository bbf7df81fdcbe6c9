using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Sheets;

namespace VibeCheck.BenchSheet.State;

/// <summary>A survey of a made-up aircraft that is kept nowhere, to run all code of a reading once before it is needed.</summary>
internal static class Rehearsal
{
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

    /// <summary>The sheet after each reading of one motor.</summary>
    internal static IEnumerable<Sheet> Steps()
    {
        const string job = "rehearsal";
        var store = new SheetStore(new Nowhere());
        store.Keep(job, new SheetJob { Job = job, AirframeToml = Airframe });
        if (Sheet.Open(store, job, () => DateTimeOffset.UnixEpoch).Sheet is not Sheet sheet)
        {
            yield break;
        }

        sheet.ShowMotor(sheet.Airframe.Motors[0]);
        yield return sheet;
        foreach (
            (char tenths, LowSide side) in ((char, LowSide)[])
                [('1', LowSide.Right), ('5', LowSide.Right), ('1', LowSide.Out), ('2', LowSide.In)]
        )
        {
            sheet.Type('0');
            sheet.Type(',');
            sheet.Type(tenths);
            sheet.Tap(side);
            yield return sheet;
        }
    }

    private sealed class Nowhere : IKeyStore
    {
        private readonly Dictionary<string, string> _texts = [];

        public IReadOnlyList<string> Keys(string prefix) => [.. _texts.Keys.Where(k => k.StartsWith(prefix, StringComparison.Ordinal))];

        public string? Read(string key) => _texts.GetValueOrDefault(key);

        public bool Write(string key, string text)
        {
            _texts[key] = text;
            return true;
        }
    }
}
