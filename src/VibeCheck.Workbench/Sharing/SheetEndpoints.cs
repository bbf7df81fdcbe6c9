using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Microsoft.AspNetCore.StaticFiles;
using VibeCheck.Logs.Sheets;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Sharing;

/// <summary>The bench sheet under /bench-sheet/: its files as they were published, its job, and the way in for its entries.</summary>
internal static class SheetEndpoints
{
    internal const string Root = "/bench-sheet";

    private const string Policy = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; connect-src 'self'; manifest-src 'self'; "
        + "worker-src 'self'; base-uri 'self'; form-action 'none'; frame-ancestors 'none'";

    private static readonly string[] s_packings = ["br", "gz"];

    private static readonly FileExtensionContentTypeProvider s_types = new()
    {
        Mappings = { [".wasm"] = "application/wasm", [".webmanifest"] = "application/manifest+json", [".toml"] = "text/plain; charset=utf-8" },
    };

    /// <summary>Where the published files stand: beside the program, or where a build of the sources puts them; null where they were never published.</summary>
    internal static string? Folder { get; } = Places().FirstOrDefault(p => File.Exists(Path.Combine(p, "index.html")));

    internal static void Map(WebApplication app)
    {
        app.MapGet(Root + "/job.json", (HttpContext context, SheetJournal journal) =>
        {
            context.Response.Headers.CacheControl = "no-store";
            return context.Response.WriteAsJsonAsync(journal.Job(), SheetJson.Default.SheetJob);
        });
        app.MapPost(Root + "/readings", TakeAsync);
        app.MapGet(Root + "/{**path}", SendAsync);
    }

    private static async Task TakeAsync(HttpContext context, SheetJournal journal)
    {
        byte[] token = Encoding.UTF8.GetBytes(context.Request.Headers["X-VibeCheck-Token"].ToString());
        if (!CryptographicOperations.FixedTimeEquals(token, Encoding.UTF8.GetBytes(journal.Token)))
        {
            await Refuse(context, StatusCodes.Status403Forbidden, "The sheet must ask for its job first.");
            return;
        }

        SheetEntries? sent;
        try
        {
            sent = await JsonSerializer.DeserializeAsync(context.Request.Body, SheetJson.Default.SheetEntries, context.RequestAborted);
        }
        catch (JsonException)
        {
            sent = null;
        }

        if (sent is null || sent.Entries.Count > SheetEntries.MostAtOnce)
        {
            await Refuse(context, StatusCodes.Status400BadRequest, "These are no entries of a bench sheet.");
        }
        else if (sent.Job != journal.JobId)
        {
            await Refuse(context, StatusCodes.Status409Conflict, "Another job is open now.");
        }
        else
        {
            await Answer(context, journal, sent);
        }
    }

    private static async Task Answer(HttpContext context, SheetJournal journal, SheetEntries sent)
    {
        try
        {
            SheetReceipt receipt = journal.Take(sent.Entries);
            await context.Response.WriteAsJsonAsync(receipt, SheetJson.Default.SheetReceipt);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            await Refuse(context, StatusCodes.Status503ServiceUnavailable, $"The readings cannot be written: {JobFolder.Cause(e)}.");
        }
    }

    private static async Task SendAsync(HttpContext context, string? path)
    {
        if (path is null && context.Request.Path.Value == Root)
        {
            context.Response.Redirect(Root + "/");
            return;
        }

        if (Folder is null)
        {
            await Refuse(context, StatusCodes.Status404NotFound, "The files of the bench sheet are not here. Make them: dotnet publish src/VibeCheck.BenchSheet -c Release");
            return;
        }

        // Only names of files that were published: no step out of the folder.
        string name = string.IsNullOrEmpty(path) ? "index.html" : path, full = Path.GetFullPath(Path.Combine(Folder, name));
        if (!full.StartsWith(Folder + Path.DirectorySeparatorChar, StringComparison.Ordinal) || !File.Exists(full))
        {
            await Refuse(context, StatusCodes.Status404NotFound, "There is no such file.");
            return;
        }

        string accepted = context.Request.Headers.AcceptEncoding.ToString();
        string? packing = s_packings.FirstOrDefault(p => accepted.Contains(p, StringComparison.Ordinal) && File.Exists($"{full}.{p}"));
        context.Response.Headers.ContentSecurityPolicy = Policy;
        context.Response.Headers.CacheControl = "no-cache";
        context.Response.Headers.Vary = "Accept-Encoding";
        if (packing is not null)
        {
            context.Response.Headers.ContentEncoding = packing == "gz" ? "gzip" : "br";
        }

        IResult file = Results.File(packing is null ? full : $"{full}.{packing}", s_types.TryGetContentType(name, out string? type) ? type : "application/octet-stream",
            lastModified: File.GetLastWriteTimeUtc(full));
        await file.ExecuteAsync(context);
    }

    private static Task Refuse(HttpContext context, int status, string why)
    {
        context.Response.StatusCode = status;
        context.Response.ContentType = "text/plain; charset=utf-8";
        return context.Response.WriteAsync(why);
    }

    private static IEnumerable<string> Places()
    {
        string own = Path.TrimEndingDirectorySeparator(AppContext.BaseDirectory);
        yield return Path.Combine(own, "bench-sheet");
        yield return Path.GetFullPath(Path.Combine(own, "..", "..", "..", "publish", "VibeCheck.BenchSheet", "release", "wwwroot"));
    }
}
