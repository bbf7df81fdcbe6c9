using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Sheets;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.Workbench.Jobs;

/// <summary>Takes what bench sheets send. Each entry is kept once, in bench-sheet.json. Its reading is in survey.csv below a comment with
/// its id, so that it is added exactly once even if a message was lost or arrived twice.</summary>
internal sealed class SheetInbox(Desk desk)
{
    private const string Mark = "# bench sheet ";
    private const string TakenOut = " taken out";
    private readonly Lock _gate = new();

    private string File => Path.Combine(desk.Folder.Path, "bench-sheet.json");

    /// <summary>Id of the job, derived from the full path of its folder.</summary>
    internal string JobId { get; } =
        Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Path.GetFullPath(desk.Folder.Path))))[..24];

    /// <summary>The job with the data that a sheet needs.</summary>
    /// <param name="token">Antiforgery token for the sheet's requests; null for none.</param>
    internal SheetJob Job(string? token)
    {
        try
        {
            Reconcile();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // A sheet opens even where the disk cannot be written now; what it sends waits on the phone.
        }

        return new()
        {
            Job = JobId,
            Title = desk.View.Job?.Title,
            AirframeToml = System.IO.File.Exists(desk.Folder.Airframe) ? System.IO.File.ReadAllText(desk.Folder.Airframe) : null,
            Token = token,
            Entries = [.. Kept(), .. Others()],
        };
    }

    /// <summary>Keeps entries, and returns which are on the disk now and which were refused, with the reason.</summary>
    internal SheetReceipt Take(IReadOnlyList<SheetEntry> entries)
    {
        Airframe? airframe = desk.View.Airframe;
        List<RefusedEntry> refused =
        [
            .. entries
                .OfType<ReadingEntry>()
                .Select(e => new RefusedEntry(
                    e.Id,
                    airframe is null ? "The job has no aircraft yet." : SheetLedger.ToReading(e, airframe).Problem ?? ""
                ))
                .Where(r => r.Why.Length > 0),
        ];
        SheetEntry[] good = [.. entries.ExceptBy(refused.Select(r => r.Id), e => e.Id)];
        lock (_gate)
        {
            Keep(good);
            Reconcile();
        }

        return new([.. good.Select(e => e.Id).Distinct()], refused);
    }

    private void Keep(IReadOnlyList<SheetEntry> entries)
    {
        desk.Folder.Change(
            File,
            text =>
            {
                IReadOnlyList<SheetEntry> kept = Parse(text);
                SheetEntry[] added = [.. entries.DistinctBy(e => e.Id).ExceptBy(kept.Select(k => k.Id), e => e.Id)];
                return added.Length == 0
                    ? text
                    : JsonSerializer.Serialize(new SheetEntries(JobId, [.. kept, .. added]), SheetJson.Default.SheetEntries) + "\n";
            }
        );
    }

    /// <summary>Makes survey.csv agree with the entries. Writes nothing where it already does.</summary>
    private void Reconcile()
    {
        if (desk.View.Airframe is not Airframe airframe)
        {
            return;
        }

        IReadOnlyList<SheetEntry> kept = Kept();
        HashSet<Guid> withdrawn = [.. kept.OfType<WithdrawalEntry>().Select(w => w.Of)];
        List<Guid> takenOut = [];
        bool changed = false;
        desk.Folder.Change(
            desk.Folder.Survey,
            text =>
            {
                string after = text;
                foreach (ReadingEntry entry in kept.OfType<ReadingEntry>())
                {
                    if (SheetLedger.ToReading(entry, airframe).Reading is GaugeReading reading)
                    {
                        (after, bool gone) = WithEntry(after, entry.Id, reading, withdrawn.Contains(entry.Id));
                        takenOut.AddRange(gone ? [entry.Id] : []);
                    }
                }

                changed = after != text;
                return after;
            }
        );
        if (takenOut.Count > 0)
        {
            // Removed at the desk: a withdrawal tells the sheets.
            Keep([.. takenOut.Select(id => new WithdrawalEntry(IdOf("withdrawal " + id), DateTimeOffset.UtcNow, id))]);
        }

        if (changed)
        {
            desk.SurveyChanged();
        }
    }

    /// <summary>The survey with the reading of an entry or, where withdrawn, without it; and whether it was removed by hand.</summary>
    private static (string Text, bool Gone) WithEntry(string text, Guid id, GaugeReading reading, bool withdrawn)
    {
        string mark = Mark + id;
        string[] lines = text.Split('\n');
        int at = Array.FindIndex(lines, l => l.StartsWith(mark, StringComparison.Ordinal));
        string begun =
            text.Length == 0 ? SurveyFile.WithReading("", reading)[..(SurveyFile.WithReading("", reading).IndexOf('\n') + 1)]
            : text.EndsWith('\n') ? text
            : text + "\n";
        if (reading.Fitted is not null && !withdrawn && at < 0)
        {
            begun = SurveyFile.WithShimsColumn(begun);
        }

        string LineOf(GaugeReading r) => SurveyFile.WithReading(begun, r)[begun.Length..].TrimEnd('\n');

        // A line that was written before the survey had a column for shims is left as it is.
        string bare = LineOf(reading with { Fitted = null }),
            line = reading.Fitted is not null && HasShims(begun) ? LineOf(reading) : bare;
        if (at < 0)
        {
            return (withdrawn ? text : $"{begun}{mark}\n{line}\n", false);
        }

        bool stands = at + 1 < lines.Length && (SurveyFile.SaysTheSame(lines[at + 1], line) || SurveyFile.SaysTheSame(lines[at + 1], bare)),
            marked = lines[at].Contains(TakenOut, StringComparison.Ordinal);
        if (marked || (stands && !withdrawn))
        {
            return (text, false);
        }

        IEnumerable<string> rest = lines.Select((l, i) => i == at ? mark + TakenOut : l).Where((_, i) => !(stands && i == at + 1));
        return (string.Join('\n', rest), !withdrawn);
    }

    private static bool HasShims(string survey) => SurveyFile.WithShimsColumn(survey) == survey;

    private IReadOnlyList<SheetEntry> Kept() => Parse(System.IO.File.Exists(File) ? System.IO.File.ReadAllText(File) : "");

    private static IReadOnlyList<SheetEntry> Parse(string text) =>
        string.IsNullOrWhiteSpace(text)
            ? []
            : SheetJson.Read(text, SheetJson.Default.SheetEntries)?.Entries
                ?? throw new InvalidOperationException("bench-sheet.json cannot be read; move it away, and send the readings again");

    /// <summary>Readings of the survey that came from no sheet, with ids made of the text of their lines and the
    /// count of equal lines before them.</summary>
    private IEnumerable<SheetEntry> Others()
    {
        string[] lines = SurveyFile.TextOf(desk.Folder.Survey).Split('\n');
        Dictionary<string, int> times = [];
        foreach (GaugeReading r in desk.View.Readings)
        {
            int at = (r.Line ?? 0) - 1;
            if (at < 1 || at >= lines.Length || lines[at - 1].StartsWith(Mark, StringComparison.Ordinal))
            {
                continue;
            }

            int time = times[lines[at]] = times.GetValueOrDefault(lines[at]) + 1;
            yield return new ReadingEntry(IdOf($"{time} {lines[at]}"), DateTimeOffset.UnixEpoch.AddSeconds(at))
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
        }
    }

    private static Guid IdOf(string text) => new(SHA256.HashData(Encoding.UTF8.GetBytes(text)).AsSpan(0, 16));
}
