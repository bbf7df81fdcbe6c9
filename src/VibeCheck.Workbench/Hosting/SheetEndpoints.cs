using System.Text.Json;
using Microsoft.AspNetCore.Antiforgery;
using VibeCheck.Logs.Inputs;
using VibeCheck.Logs.Sheets;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Serves the files and the job of the bench sheet, and takes its readings.</summary>
internal static class SheetEndpoints
{
    private const string Policy =
        "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        + "manifest-src 'self'; worker-src 'self'; base-uri 'self'; form-action 'none'; frame-ancestors 'none'";

    private static readonly Dictionary<string, string> s_types = new(StringComparer.OrdinalIgnoreCase)
    {
        [".html"] = "text/html; charset=utf-8",
        [".js"] = "text/javascript",
        [".css"] = "text/css",
        [".wasm"] = "application/wasm",
        [".json"] = "application/json",
        [".webmanifest"] = "application/manifest+json",
        [".svg"] = "image/svg+xml",
        [".png"] = "image/png",
        [".ttf"] = "font/ttf",
        [".woff2"] = "font/woff2",
        [".toml"] = "text/plain",
    };

    internal static void Map(WebApplication app)
    {
        app.MapGet("/bench-sheet/job.json", SendJob);
        app.MapPost("/bench-sheet/readings", TakeAsync).DisableAntiforgery();
        app.MapGet("/bench-sheet/{**path}", SendFile);
    }

    /// <summary>The folder of the sheet's files: beside a published program; after a build from the source, where
    /// publishing the sheet puts them; null where there is neither.</summary>
    private static string? Root() =>
        new[]
        {
            Path.Combine(AppContext.BaseDirectory, "bench-sheet"),
            Path.GetFullPath(
                Path.Combine(AppContext.BaseDirectory, "..", "..", "..", "publish", "VibeCheck.BenchSheet", "release", "wwwroot")
            ),
        }.FirstOrDefault(f => File.Exists(Path.Combine(f, "index.html")));

    private static IResult SendJob(HttpContext context, IAntiforgery antiforgery, SheetInbox inbox)
    {
        string? token = antiforgery.GetAndStoreTokens(context).RequestToken;
        context.Response.Headers.CacheControl = "no-store";
        return Results.Text(JsonSerializer.Serialize(inbox.Job(token), SheetJson.Default.SheetJob), "application/json");
    }

    private static async Task<IResult> TakeAsync(HttpContext context, IAntiforgery antiforgery, SheetInbox inbox)
    {
        if (!await antiforgery.IsRequestValidAsync(context).ConfigureAwait(false))
        {
            return Results.Text(
                "The sheet is from an earlier start of the workbench. Load it again; nothing on it is lost.",
                statusCode: StatusCodes.Status403Forbidden
            );
        }

        using var reader = new StreamReader(context.Request.Body);
        SheetEntries? sent = SheetJson.Read(
            await reader.ReadToEndAsync(context.RequestAborted).ConfigureAwait(false),
            SheetJson.Default.SheetEntries
        );
        if (sent is null || sent.Entries.Count > SheetEntries.MostAtOnce)
        {
            return Results.Text("These are no entries of a bench sheet.", statusCode: StatusCodes.Status400BadRequest);
        }

        if (sent.Job != inbox.JobId)
        {
            return Results.Text("These entries belong to another job.", statusCode: StatusCodes.Status409Conflict);
        }

        try
        {
            return Results.Text(JsonSerializer.Serialize(inbox.Take(sent.Entries), SheetJson.Default.SheetReceipt), "application/json");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Results.Text(
                $"It could not be saved: {JobFolder.Cause(e)}. It is kept on the phone.",
                statusCode: StatusCodes.Status507InsufficientStorage
            );
        }
        catch (InputFaultException e)
        {
            return Results.Text(
                $"It could not be saved, because a file of the job cannot be read: {e.Message} It is kept on the phone.",
                statusCode: StatusCodes.Status503ServiceUnavailable
            );
        }
    }

    private static IResult SendFile(HttpContext context, string? path)
    {
        if (context.Request.Path == "/bench-sheet")
        {
            return Results.Redirect("/bench-sheet/");
        }

        if (Root() is not string root)
        {
            return Results.Text(
                "The bench sheet is not part of this build. Make it with: dotnet publish src/VibeCheck.BenchSheet -c Release",
                statusCode: StatusCodes.Status404NotFound
            );
        }

        string file = Path.GetFullPath(Path.Combine(root, string.IsNullOrEmpty(path) ? "index.html" : path));
        if (!file.StartsWith(root + Path.DirectorySeparatorChar, StringComparison.Ordinal) || !File.Exists(file))
        {
            return Results.NotFound();
        }

        IHeaderDictionary headers = context.Response.Headers;
        headers.ContentSecurityPolicy = Policy;
        headers.CacheControl = "no-cache";
        headers.Vary = "Accept-Encoding";
        (string sent, string? encoding) = Packed(file, context.Request.Headers.AcceptEncoding.ToString());
        if (encoding is not null)
        {
            headers.ContentEncoding = encoding;
        }

        return Results.File(
            sent,
            s_types.GetValueOrDefault(Path.GetExtension(file), "application/octet-stream"),
            lastModified: File.GetLastWriteTimeUtc(file)
        );
    }

    private static (string File, string? Encoding) Packed(string file, string accepted) =>
        accepted.Contains("br", StringComparison.OrdinalIgnoreCase) && File.Exists(file + ".br") ? (file + ".br", "br")
        : accepted.Contains("gzip", StringComparison.OrdinalIgnoreCase) && File.Exists(file + ".gz") ? (file + ".gz", "gzip")
        : (file, null);
}
