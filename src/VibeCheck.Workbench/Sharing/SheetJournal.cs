using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs;
using VibeCheck.Logs.Sheets;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Sharing;

/// <summary>Takes the entries of bench sheets into the job: each id once, into a journal in the job's folder and into survey.csv.</summary>
/// <remarks>
/// A line of the journal is the hash of survey.csv before and after, then the entries, and is on the disk before survey.csv is changed. So after a stop
/// between the two, the change that is missing is known and made.
/// </remarks>
internal sealed class SheetJournal
{
    private const string FileName = ".vibecheck-sheet";

    private readonly Lock _gate = new();
    private readonly Desk _desk;
    private readonly string _path;
    private readonly List<SheetEntry> _entries = [];
    private readonly HashSet<Guid> _ids = [];

    public SheetJournal(Desk desk)
    {
        _desk = desk;
        _path = Path.Combine(desk.Folder.Path, FileName);
        Recover();
    }

    /// <summary>To be sent back with entries; made anew at every start.</summary>
    internal string Token { get; } = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16));

    /// <summary>Stays the same for this folder on this machine.</summary>
    internal string JobId => Hash(Path.GetFullPath(_desk.Folder.Path))[..16];

    /// <summary>The job as a sheet gets it.</summary>
    internal SheetJob Job()
    {
        lock (_gate)
        {
            string toml = File.Exists(_desk.Folder.Airframe) ? SurveyFile.TextOf(_desk.Folder.Airframe) : "";
            return new()
            {
                Job = JobId,
                Title = _desk.View.Job?.Title ?? _desk.Folder.Name,
                AirframeToml = toml.Length > 0 ? toml : null,
                Token = Token,
                Entries = [.. _entries, .. FromElsewhere()],
            };
        }
    }

    /// <summary>Takes entries in; returns when they are on the disk.</summary>
    internal SheetReceipt Take(IReadOnlyList<SheetEntry> sent)
    {
        SheetReceipt receipt;
        bool changed;
        lock (_gate)
        {
            Airframe? airframe = _desk.View.Airframe;
            SheetEntry[] fresh = [.. sent.Where(e => !_ids.Contains(e.Id)).DistinctBy(e => e.Id)];
            RefusedEntry[] refused = [.. fresh.OfType<ReadingEntry>().Select(r => (r.Id, Why: WhyNot(r, airframe))).Where(r => r.Why is not null).Select(r => new RefusedEntry(r.Id, r.Why!))];
            SheetEntry[] taken = [.. fresh.Where(e => refused.All(r => r.Id != e.Id))];
            if (taken.Length > 0)
            {
                _desk.Folder.Change(_desk.Folder.Survey, before =>
                {
                    string after = Apply(before, taken, _entries, airframe);
                    Append(before, after, taken);
                    return after;
                });
                Know(taken);
            }

            changed = taken.Any(e => e is not TickEntry);
            receipt = new([.. sent.Select(e => e.Id).Where(_ids.Contains)], refused);
        }

        if (changed)
        {
            _desk.Look();
        }

        return receipt;
    }

    private static string? WhyNot(ReadingEntry reading, Airframe? airframe) =>
        airframe is null ? "The job has no airframe." : SheetLedger.ToReading(reading, airframe).Problem;

    /// <summary>The text of the survey with the entries worked in: readings at its end, what is withdrawn taken out.</summary>
    private static string Apply(string text, IReadOnlyList<SheetEntry> taken, IReadOnlyList<SheetEntry> earlier, Airframe? airframe)
    {
        if (airframe is null)
        {
            return text;
        }

        HashSet<Guid> dead = [.. earlier.Concat(taken).OfType<WithdrawalEntry>().Select(w => w.Of)];
        foreach (ReadingEntry added in taken.OfType<ReadingEntry>().Where(r => !dead.Contains(r.Id)))
        {
            text = SurveyFile.WithReading(string.IsNullOrWhiteSpace(text) ? SurveyFile.HeaderWithShims + "\n" : text, SheetLedger.ToReading(added, airframe).Reading!);
        }

        HashSet<Guid> now = [.. taken.OfType<WithdrawalEntry>().Select(w => w.Of)];
        return earlier.OfType<ReadingEntry>().Where(r => now.Contains(r.Id)).Aggregate(text, (left, gone) => Without(left, SheetLedger.ToReading(gone, airframe).Reading));
    }

    /// <summary>The text without the last line that says just that reading; the same text where none does.</summary>
    private static string Without(string text, GaugeReading? reading)
    {
        if (reading is null || text.Length == 0)
        {
            return text;
        }

        string row = SurveyFile.WithReading(text, reading).TrimEnd('\n').Split('\n')[^1];
        List<string> lines = [.. text.Split('\n')];
        int at = lines.FindLastIndex(line => line.TrimEnd('\r') == row);
        if (at >= 0)
        {
            lines.RemoveAt(at);
        }

        return string.Join('\n', lines);
    }

    /// <summary>What survey.csv has beside the journal: readings typed or written there, and readings of the journal that were deleted there.</summary>
    private IEnumerable<SheetEntry> FromElsewhere()
    {
        if (_desk.View.Airframe is not Airframe airframe)
        {
            return [];
        }

        List<ReadingEntry> mine = [.. new SheetLedger(_entries).Readings];
        var foreign = new List<SheetEntry>();
        foreach (GaugeReading r in _desk.View.Readings)
        {
            int at = mine.FindIndex(m => Same(SheetLedger.ToReading(m, airframe).Reading, r));
            if (at >= 0)
            {
                mine.RemoveAt(at);
            }
            else
            {
                foreign.Add(Entry(r));
            }
        }

        return foreign.Concat(mine.Select(m => new WithdrawalEntry(IdOf($"deleted {m.Id}"), m.At.AddTicks(1), m.Id)));
    }

    // Shims noted in a survey without that column are not there when it is read.
    private static bool Same(GaugeReading? one, GaugeReading other) =>
        one is not null && one with { Line = null, Fitted = null } == other with { Line = null, Fitted = null };

    private static ReadingEntry Entry(GaugeReading r) => new(IdOf($"{r.Line} {r.MotorId} {r.When} {r.Where} {SurveyFile.Text(r)}"), DateTimeOffset.UnixEpoch.AddSeconds(r.Line ?? 0))
    {
        Motor = r.MotorId,
        When = r.When,
        Where = r.Where,
        Direction = r.Direction,
        LowDeg = r.LowDeg,
        HighDeg = r.HighDeg,
        LowSide = r.LowSide,
        Turned = r.Turned,
        Knock = r.Knock == Knock.After,
        Note = r.Note,
        Shims = r.Fitted?.Text,
    };

    private void Recover()
    {
        string[] lines = File.Exists(_path) ? File.ReadAllLines(_path) : [];
        for (int i = 0; i < lines.Length; i++)
        {
            string[] parts = lines[i].Split(' ', 3);

            // A line that was cut off by a stop was not answered, and its entries come again.
            if (parts.Length < 3 || SheetJson.Read(parts[2], SheetJson.Default.SheetEntries) is not SheetEntries batch)
            {
                continue;
            }

            if (i == lines.Length - 1 && parts[0] != parts[1])
            {
                _desk.Folder.Change(_desk.Folder.Survey, text => Hash(text) == parts[0] ? Apply(text, batch.Entries, _entries, _desk.View.Airframe) : text);
            }

            Know(batch.Entries);
        }
    }

    private void Append(string before, string after, IReadOnlyList<SheetEntry> entries)
    {
        string json = JsonSerializer.Serialize(new SheetEntries(JobId, entries), SheetJson.Default.SheetEntries);
        using var file = new FileStream(_path, FileMode.Append, FileAccess.Write, FileShare.Read);
        string start = file.Length > 0 && !EndsLine() ? "\n" : "";
        file.Write(Encoding.UTF8.GetBytes($"{start}{Hash(before)} {Hash(after)} {json}\n"));
        file.Flush(flushToDisk: true);
    }

    private bool EndsLine()
    {
        using var file = new FileStream(_path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        file.Seek(-1, SeekOrigin.End);
        return file.ReadByte() == '\n';
    }

    private void Know(IReadOnlyList<SheetEntry> entries)
    {
        _entries.AddRange(entries.Where(e => _ids.Add(e.Id)));
    }

    private static string Hash(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    private static Guid IdOf(string text) => new(SHA256.HashData(Encoding.UTF8.GetBytes(text)).AsSpan(0, 16));
}
