using System.Text.Json;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.StaticFiles;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.FileProviders;
using Microsoft.Extensions.Logging;
using VibeCheck.Logs.Sheets;

namespace VibeCheck.BenchSheet.Tests.Browser;

/// <summary>Serves the published sheet on loopback under /bench-sheet/, compressed where the browser accepts it, and stores the entries
/// that it receives.</summary>
internal sealed class SheetServer : IAsyncDisposable
{
    internal const string Policy =
        "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        + "manifest-src 'self'; worker-src 'self'; base-uri 'self'; form-action 'none'; frame-ancestors 'none'";

    private readonly WebApplication _app;
    private readonly Lock _lock = new();
    private readonly List<SheetEntry> _kept = [];

    private SheetServer(WebApplication app) => _app = app;

    /// <summary>The job reported to the sheet; null for a host without a job.</summary>
    internal SheetJob? Job { get; set; }

    /// <summary>Number of responses to entries to lose after the entries are stored.</summary>
    internal int AnswersToLose { get; set; }

    /// <summary>Number of requests with entries to reject before they are stored.</summary>
    internal int RequestsToRefuse { get; set; }

    /// <summary>Total size of all response bodies, bytes.</summary>
    internal long BytesSent { get; private set; }

    /// <summary>Number of requests with entries received.</summary>
    internal int Posts { get; private set; }

    internal Uri Address =>
        new(_app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First() + "/bench-sheet/");

    /// <summary>Entries stored; each id once, however often it arrived.</summary>
    internal IReadOnlyList<SheetEntry> Kept
    {
        get
        {
            lock (_lock)
            {
                return [.. _kept];
            }
        }
    }

    internal static async Task<SheetServer> Start(SheetJob? job, int port = 0)
    {
        _ = PublishedSheet.Folder;
        WebApplicationBuilder builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseUrls($"http://127.0.0.1:{port}");
        WebApplication app = builder.Build();
        var server = new SheetServer(app) { Job = job };
        app.Run(server.Answer);
        await app.StartAsync();
        return server;
    }

    public ValueTask DisposeAsync() => _app.DisposeAsync();

    private async Task Answer(HttpContext context)
    {
        context.Response.Headers.ContentSecurityPolicy = Policy;
        context.Response.Headers.CacheControl = "no-cache";
        string path = context.Request.Path.Value!.Replace("/bench-sheet/", "", StringComparison.Ordinal);
        if (path == "job.json" && Job is not null)
        {
            SheetJob job = Job with { Entries = Kept };
            await context.Response.WriteAsJsonAsync(job, SheetJson.Default.SheetJob);
        }
        else if (path == "readings")
        {
            await Take(context);
        }
        else
        {
            await Send(context, path.Length == 0 ? "index.html" : path);
        }
    }

    private async Task Take(HttpContext context)
    {
        Posts++;
        SheetEntries sent = (await JsonSerializer.DeserializeAsync(context.Request.Body, SheetJson.Default.SheetEntries))!;
        if (RequestsToRefuse > 0)
        {
            RequestsToRefuse--;
            context.Abort();
            return;
        }

        lock (_lock)
        {
            _kept.AddRange(sent.Entries.Where(e => _kept.All(k => k.Id != e.Id)));
        }

        if (AnswersToLose > 0)
        {
            AnswersToLose--;
            context.Abort();
            return;
        }

        await context.Response.WriteAsJsonAsync(new SheetReceipt([.. sent.Entries.Select(e => e.Id)], []), SheetJson.Default.SheetReceipt);
    }

    private async Task Send(HttpContext context, string path)
    {
        using var files = new PhysicalFileProvider(PublishedSheet.Folder);
        IFileInfo plain = files.GetFileInfo(path),
            packed = files.GetFileInfo(path + ".br");
        bool takesBrotli = context.Request.Headers.AcceptEncoding.ToString().Contains("br", StringComparison.Ordinal);
        IFileInfo file = takesBrotli && packed.Exists ? packed : plain;
        if (!file.Exists)
        {
            context.Response.StatusCode = StatusCodes.Status404NotFound;
            return;
        }

        var types = new FileExtensionContentTypeProvider();
        types.Mappings[".wasm"] = "application/wasm";
        types.Mappings[".webmanifest"] = "application/manifest+json";
        context.Response.ContentType = types.TryGetContentType(path, out string? type) ? type : "application/octet-stream";
        if (file == packed)
        {
            context.Response.Headers.ContentEncoding = "br";
        }

        BytesSent += file.Length;
        context.Response.ContentLength = file.Length;
        await context.Response.SendFileAsync(file);
    }
}
