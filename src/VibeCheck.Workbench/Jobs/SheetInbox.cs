using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Surveys;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Sheets;
using VibeCheck.Logs.Surveys;

namespace VibeCheck.Workbench.Jobs;

/// <summary>Receives the entries of bench sheets. Each entry is kept once, in bench-sheet.json. Its reading is in the survey below a
/// comment with its id, so that it is added exactly once even if a message was lost or arrived twice.</summary>
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
        lock (_gate)
        {
            // A sheet opens even where the disk cannot be written now, or a file cannot be read; its entries then wait on the phone.
            TryTo(MendEntries);
            TryTo(Reconcile);
            SheetEntry[] entries = [];
            TryTo(() => entries = [.. Kept() ?? [], .. Others()]);
            string? airframe = null;
            TryTo(() => airframe = System.IO.File.Exists(desk.AirframePath) ? System.IO.File.ReadAllText(desk.AirframePath) : null);
            return new()
            {
                Job = JobId,
                Title = desk.View.Job?.Title,
                AirframeToml = airframe,
                Token = token,
                Entries = entries,
            };
        }
    }

    private static void TryTo(Action work)
    {
        try
        {
            work();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or InputFaultException)
        {
            // The caller goes on without it.
        }
    }

    /// <summary>Keeps entries, and returns which are on the disk now and which were refused, with the reason.</summary>
    /// <exception cref="IOException">A file cannot be written; nothing was accepted.</exception>
    /// <exception cref="InputFaultException">A file of the job cannot be read; nothing was accepted.</exception>
    internal SheetReceipt Take(IReadOnlyList<SheetEntry> entries)
    {
        desk.LookAtFiles();
        ReadingEntry[] readings = [.. entries.OfType<ReadingEntry>()];
        RefusedEntry[] refused = readings.Length == 0 ? [] : [.. Refused(readings, AirframeOrThrow())];
        SheetEntry[] good = [.. entries.ExceptBy(refused.Select(r => r.Id), e => e.Id)];
        lock (_gate)
        {
            MendEntries();
            Keep(good);
            Reconcile();
        }

        return new([.. good.Select(e => e.Id).Distinct()], refused);
    }

    private static IEnumerable<RefusedEntry> Refused(IEnumerable<ReadingEntry> readings, Airframe airframe) =>
        readings
            .Select(e => (e.Id, SheetLedger.ToReading(e, airframe).Problem))
            .Where(r => r.Problem is not null)
            .Select(r => new RefusedEntry(r.Id, r.Problem!));

    /// <summary>The aircraft. Without one, readings wait on the phone: a refusal would be final, and the file may be repaired.</summary>
    private Airframe AirframeOrThrow() =>
        desk.View.Airframe
        ?? throw new InputFaultException(
            desk.View.Faults.Count > 0
                ? desk.View.Faults[0]
                : new(desk.Folder.NameOf(desk.AirframePath), null, null, "the job has no aircraft yet", "Draw it in the workbench.")
        );

    private void Keep(IReadOnlyList<SheetEntry> entries)
    {
        desk.Folder.Change(
            File,
            text =>
            {
                IReadOnlyList<SheetEntry> kept = Parse(text) ?? [];
                SheetEntry[] added = [.. entries.DistinctBy(e => e.Id).ExceptBy(kept.Select(k => k.Id), e => e.Id)];
                return added.Length == 0 ? text : TextOf([.. kept, .. added]);
            }
        );
    }

    private string TextOf(IReadOnlyList<SheetEntry> entries) =>
        JsonSerializer.Serialize(new SheetEntries(JobId, entries), SheetJson.Default.SheetEntries) + "\n";

    /// <summary>Makes the survey agree with the entries. Writes nothing where it already does.</summary>
    private void Reconcile()
    {
        if (desk.View.Airframe is not Airframe airframe)
        {
            return;
        }

        IReadOnlyList<SheetEntry> kept = Kept() ?? [];
        HashSet<Guid> withdrawn = [.. kept.OfType<WithdrawalEntry>().Select(w => w.Of)];
        if (!kept.OfType<ReadingEntry>().Any())
        {
            return;
        }

        List<Guid> takenOut = [];
        bool changed = false;
        string survey = desk.SurveyNow();
        desk.Folder.Change(
            survey,
            text =>
            {
                SurveyFile.ThrowIfNoSurvey(survey, text);
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
            // The reading was removed at the desk: a withdrawal informs the sheets.
            Keep([.. takenOut.Select(WithdrawalOf)]);
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

    /// <summary>The entries on the disk; null where their file is damaged.</summary>
    private IReadOnlyList<SheetEntry>? Kept() => Parse(System.IO.File.Exists(File) ? System.IO.File.ReadAllText(File) : "");

    private static IReadOnlyList<SheetEntry>? Parse(string text) =>
        string.IsNullOrWhiteSpace(text) ? [] : SheetJson.Read(text, SheetJson.Default.SheetEntries)?.Entries;

    /// <summary>Moves a damaged bench-sheet.json aside and starts a new one from the sheets' entries in the survey.</summary>
    private void MendEntries()
    {
        if (Kept() is not null)
        {
            return;
        }

        SheetEntry[] known = [.. InSurvey().Where(e => e.Marked).Select(e => e.Entry), .. TakenOutInSurvey()];
        if (desk.Folder.Renew(File, () => Kept() is null, TextOf(known)) is string keptAs)
        {
            desk.TellRenewed(
                File,
                keptAs,
                "The readings of bench sheets were taken over from the survey. Check on the phone that its boxes are still ticked."
            );
        }
    }

    /// <summary>Readings of the survey that bench-sheet.json does not hold: typed at the desk or by hand.</summary>
    private IEnumerable<SheetEntry> Others()
    {
        HashSet<Guid> kept = [.. (Kept() ?? []).Select(e => e.Id)];
        return InSurvey().Where(e => !e.Marked || !kept.Contains(e.Entry.Id)).Select(e => e.Entry);
    }

    /// <summary>The readings of the survey as entries, and whether each came from a sheet. A reading that did not gets an id from the text
    /// of its line and the number of equal lines before it.</summary>
    private IEnumerable<(SheetEntry Entry, bool Marked)> InSurvey()
    {
        string survey = desk.SurveyNow();
        string[] lines = SurveyFile.TextOf(survey).Split('\n');
        Dictionary<string, int> times = [];
        IReadOnlyList<GaugeReading> readings =
            desk.View.Airframe is Airframe airframe && System.IO.File.Exists(survey) ? SurveyFile.ReadReadings(survey, airframe) : [];
        foreach (GaugeReading r in readings)
        {
            int at = (r.Line ?? 0) - 1;
            if (at < 1 || at >= lines.Length)
            {
                continue;
            }

            if (MarkedId(lines[at - 1]) is Guid id)
            {
                yield return (EntryOf(r, id, at), true);
            }
            else
            {
                int time = times[lines[at]] = times.GetValueOrDefault(lines[at]) + 1;
                yield return (EntryOf(r, IdOf($"{time} {lines[at]}"), at), false);
            }
        }
    }

    /// <summary>Withdrawals of the entries that the survey marks as removed.</summary>
    private IEnumerable<SheetEntry> TakenOutInSurvey() =>
        SurveyFile
            .TextOf(desk.SurveyNow())
            .Split('\n')
            .Where(l => l.Contains(TakenOut, StringComparison.Ordinal))
            .Select(MarkedId)
            .OfType<Guid>()
            .Select(WithdrawalOf);

    /// <summary>The id in a comment that marks the entry of a sheet; null where the line is not such a comment.</summary>
    private static Guid? MarkedId(string line) =>
        line.StartsWith(Mark, StringComparison.Ordinal) && Guid.TryParse(line[Mark.Length..].Trim().Split(' ')[0], out Guid id) ? id : null;

    private static WithdrawalEntry WithdrawalOf(Guid id) => new(IdOf("withdrawal " + id), DateTimeOffset.UtcNow, id);

    private static ReadingEntry EntryOf(GaugeReading r, Guid id, int at) =>
        new(id, DateTimeOffset.UnixEpoch.AddSeconds(at))
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

    private static Guid IdOf(string text) => new(SHA256.HashData(Encoding.UTF8.GetBytes(text)).AsSpan(0, 16));
}
