using System.Text.Json;
using VibeCheck.Logs.Sheets;

namespace VibeCheck.BenchSheet.State;

/// <summary>State of the exchange between the sheet and its server.</summary>
public enum Connection
{
    /// <summary>The server was not asked yet.</summary>
    Unknown,

    /// <summary>The host of this page stores no entries.</summary>
    NoServer,

    /// <summary>The server answers.</summary>
    Connected,

    /// <summary>The server does not answer now; entries wait.</summary>
    Waiting,

    /// <summary>The server requires the one-time code.</summary>
    NotAllowed,

    /// <summary>The server has another job now; entries of this one wait here.</summary>
    OtherJob,
}

/// <summary>The answer of a server.</summary>
/// <param name="Status">Its HTTP status; 0 where none came.</param>
/// <param name="Text">Its text.</param>
public sealed record ServerAnswer(int Status, string Text);

/// <summary>The server that the page came from.</summary>
public interface ISheetServer
{
    /// <summary>Asks for the job.</summary>
    Task<ServerAnswer> GetJob();

    /// <summary>Sends entries.</summary>
    Task<ServerAnswer> PostEntries(string json, string token);
}

/// <summary>Sends each entry until the server confirms it. Each entry has an id, so it may safely be sent again.</summary>
/// <param name="store">Records which entries were sent.</param>
/// <param name="server">The server.</param>
public sealed class Outbox(SheetStore store, ISheetServer server)
{
    private static readonly TimeSpan First = TimeSpan.FromSeconds(2),
        Longest = TimeSpan.FromSeconds(30);

    private bool _busy;
    private bool _joined;

    /// <summary>The present state.</summary>
    internal Connection Connection { get; private set; }

    /// <summary>When to try again, if nothing happens before; null where there is nothing to try.</summary>
    internal TimeSpan? RetryAfter { get; private set; }

    /// <summary>Entries that the server does not have yet.</summary>
    internal static IReadOnlyList<SheetEntry> Unsent(SheetStore store, string job, IEnumerable<SheetEntry> entries)
    {
        HashSet<Guid> done = [.. store.Sent(job), .. store.Refused(job).Keys];
        return [.. entries.Where(e => !done.Contains(e.Id))];
    }

    /// <summary>Asks the server for its job.</summary>
    /// <returns>The job; null where there is none or no answer came.</returns>
    internal async Task<SheetJob?> Ask()
    {
        ServerAnswer answer = await server.GetJob();
        SheetJob? job = answer.Status == 200 ? SheetJson.Read(answer.Text, SheetJson.Default.SheetJob) : null;
        Connection = answer.Status switch
        {
            0 or >= 500 => Connection.Waiting,
            401 or 403 => Connection.NotAllowed,
            _ => job?.Job is null ? Connection.NoServer : Connection.Connected,
        };
        _joined = Connection == Connection.Connected;
        Retry(Connection == Connection.Waiting);
        return job?.Job is null ? null : job;
    }

    /// <summary>Sends what the server does not have yet; one run at a time.</summary>
    internal async Task Send(Sheet sheet)
    {
        if (_busy || Connection is Connection.NoServer or Connection.OtherJob)
        {
            return;
        }

        _busy = true;
        try
        {
            while ((Connection == Connection.Waiting || Unsent(store, sheet.Job, sheet.Entries).Count > 0) && await IsJoined(sheet))
            {
                // Entries that the server already had count as sent since it was asked.
                IReadOnlyList<SheetEntry> unsent = Unsent(store, sheet.Job, sheet.Entries);
                if (unsent.Count > 0 && !await SendSome(sheet, unsent))
                {
                    break;
                }
            }
        }
        finally
        {
            _busy = false;
        }
    }

    private async Task<bool> IsJoined(Sheet sheet)
    {
        if (!_joined && await Ask() is SheetJob job)
        {
            if (job.Job != sheet.Job)
            {
                Connection = Connection.OtherJob;
                _joined = false;
                return false;
            }

            sheet.Join(job);
        }

        return _joined;
    }

    private async Task<bool> SendSome(Sheet sheet, IReadOnlyList<SheetEntry> unsent)
    {
        SheetEntry[] some = [.. unsent.Take(SheetEntries.MostAtOnce)];
        string json = JsonSerializer.Serialize(new SheetEntries(sheet.Job, some), SheetJson.Default.SheetEntries);
        ServerAnswer answer = await server.PostEntries(json, sheet.About.Token ?? "");
        SheetReceipt? receipt = answer.Status == 200 ? SheetJson.Read(answer.Text, SheetJson.Default.SheetReceipt) : null;
        if (receipt is null)
        {
            Connection = answer.Status switch
            {
                401 or 403 => Connection.NotAllowed,
                409 => Connection.OtherJob,
                _ => Connection.Waiting,
            };
            _joined = false;
            Retry(Connection != Connection.OtherJob);
            return false;
        }

        foreach (Guid id in receipt.Accepted)
        {
            store.MarkSent(sheet.Job, id);
        }

        foreach (RefusedEntry refused in receipt.Refused)
        {
            store.MarkRefused(sheet.Job, refused.Id, refused.Why);
        }

        Connection = Connection.Connected;
        Retry(false);
        return receipt.Accepted.Count + receipt.Refused.Count > 0;
    }

    private void Retry(bool wanted) =>
        RetryAfter =
            !wanted ? null
            : RetryAfter is not TimeSpan before ? First
            : before + before < Longest ? before + before
            : Longest;
}
