using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using Microsoft.AspNetCore.DataProtection.KeyManagement;
using QRCoder;
using VibeCheck.Workbench.Hosting;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Sharing;

/// <summary>A second server, on the local network, that serves the bench sheet and nothing else.</summary>
internal static class ShareHost
{
    private const string Root = "/bench-sheet";
    private const int FirstPort = 47000,
        Ports = 1000;
    private const long LargestRequestBytes = 1 << 20;

    /// <summary>Starts the server, and prints its address as text and as a QR code.</summary>
    /// <returns>The server; null where this machine is on no network, or its address cannot be opened.</returns>
    internal static async Task<WebApplication?> StartAsync(IServiceProvider desk, TextWriter output)
    {
        if (LocalAddress() is not IPAddress address)
        {
            await output.WriteLineAsync("The bench sheet is not shared: this machine is on no network.").ConfigureAwait(false);
            return null;
        }

        var code = new ShareCode();
        SheetInbox inbox = desk.GetRequiredService<SheetInbox>();
        (WebApplication? app, string? problem) = await StartedAsync(inbox, code, address).ConfigureAwait(false);
        if (app is null)
        {
            await output
                .WriteLineAsync($"The bench sheet is not shared: {address} cannot be opened for it ({problem}).")
                .ConfigureAwait(false);
            return null;
        }

        string link = $"{app.Urls.First()}{Root}/?{ShareCode.Query}={code.Code}";
        using var generator = new QRCodeGenerator();
        using QRCodeData data = generator.CreateQrCode(link, QRCodeGenerator.ECCLevel.M);
        await output
            .WriteLineAsync(
                "Bench sheet for the phone: scan this, once. Anyone on this network can see what is sent; use a network that you trust."
            )
            .ConfigureAwait(false);
        await output.WriteLineAsync(new AsciiQRCode(data).GetGraphicSmall()).ConfigureAwait(false);
        await output.WriteLineAsync(link).ConfigureAwait(false);
        await output.FlushAsync().ConfigureAwait(false);
        return app;
    }

    /// <summary>Starts on a port derived from the job where that port is free: a phone stores its readings under the
    /// address, so it finds them again after the next start. Otherwise on any free port.</summary>
    /// <returns>The server, or null with the reason.</returns>
    internal static async Task<(WebApplication? App, string? Problem)> StartedAsync(SheetInbox inbox, ShareCode code, IPAddress address)
    {
        int port = FirstPort + Convert.ToInt32(inbox.JobId[..4], 16) % Ports;
        (WebApplication? app, string? problem) = await TryStartAsync(Build(inbox, code, address, port)).ConfigureAwait(false);
        return app is null && problem is not null ? await TryStartAsync(Build(inbox, code, address)).ConfigureAwait(false) : (app, null);
    }

    private static async Task<(WebApplication? App, string? Problem)> TryStartAsync(WebApplication app)
    {
        try
        {
            await app.StartAsync().ConfigureAwait(false);
            return (app, null);
        }
        catch (Exception e) when (e is IOException or SocketException)
        {
            await app.DisposeAsync().ConfigureAwait(false);
            return (null, e.Message.TrimEnd('.'));
        }
    }

    /// <summary>The server, not yet started, on one address of this machine; on any free port where none is named.</summary>
    internal static WebApplication Build(SheetInbox inbox, ShareCode code, IPAddress address, int port = 0)
    {
        // As for the workbench itself, settings of other servers are not read.
        WebApplicationBuilder builder = WebApplication.CreateEmptyBuilder(
            new WebApplicationOptions { EnvironmentName = Environments.Production }
        );
        builder.WebHost.UseKestrelCore();
        builder.WebHost.ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = LargestRequestBytes;
            kestrel.Listen(address, port);
        });
        builder.Services.AddRouting();
        builder.Services.AddSingleton(inbox);
        builder.Services.AddAntiforgery(o =>
        {
            o.HeaderName = UploadEndpoint.TokenHeader;
            o.Cookie.Name = "vibecheck-sheet-form";
            o.Cookie.SameSite = SameSiteMode.Strict;
        });
        builder.Services.AddDataProtection();
        builder.Services.Configure<KeyManagementOptions>(o => (o.XmlRepository, o.XmlEncryptor) = (new RunKeys(), null));
        WebApplication app = builder.Build();
        app.Use((context, next) => Guard(context, next, code, address));
        SheetEndpoints.Map(app);
        return app;
    }

    /// <summary>Accepts only requests for the sheet's paths under this machine's IP address, from the sheet's own page, with the cookie
    /// that the code was exchanged for.</summary>
    private static Task Guard(HttpContext context, RequestDelegate next, ShareCode code, IPAddress address)
    {
        HttpRequest request = context.Request;
        context.Response.Headers.XContentTypeOptions = "nosniff";
        context.Response.Headers["Referrer-Policy"] = "no-referrer";
        string own = $"{address}:{context.Connection.LocalPort}";
        if (request.Host.Value != own || (request.Headers.Origin.Count > 0 && request.Headers.Origin != "http://" + own))
        {
            return Refuse(
                context,
                StatusCodes.Status421MisdirectedRequest,
                "The bench sheet answers under the address that the computer shows only."
            );
        }

        if (!request.Path.StartsWithSegments(Root, StringComparison.Ordinal))
        {
            return Refuse(context, StatusCodes.Status404NotFound, "Only the bench sheet is shared.");
        }

        string? given = request.Query[ShareCode.Query];
        if (HttpMethods.IsGet(request.Method) && code.Use(given))
        {
            context.Response.Cookies.Append(
                ShareCode.Cookie,
                code.Secret,
                new CookieOptions
                {
                    HttpOnly = true,
                    SameSite = SameSiteMode.Strict,
                    Path = Root,
                    IsEssential = true,
                    MaxAge = TimeSpan.FromDays(1),
                }
            );
            context.Response.Redirect(Root + "/");
            return Task.CompletedTask;
        }

        return code.Knows(request.Cookies[ShareCode.Cookie])
            ? next(context)
            : Refuse(context, StatusCodes.Status403Forbidden, WhyNotAdmitted(given, code));
    }

    /// <summary>Why a phone is not admitted. Only who brings the right code learns that it was used.</summary>
    private static string WhyNotAdmitted(string? given, ShareCode code)
    {
        string why =
            string.IsNullOrEmpty(given) ? "This phone is not admitted yet. Scan the code that the computer shows."
            : code.WasUsed(given)
                ? "This code was used already; it admits one phone, once. Start vibecheck workbench --share again and scan the new one."
            : "This is not the code of the workbench that runs now; the code changes with every start. Scan the one that the computer shows.";
        return why + " What was entered on this phone is kept.";
    }

    /// <summary>The IPv4 address of an interface that is up, one with a gateway first; null without one.</summary>
    private static IPAddress? LocalAddress() =>
        NetworkInterface
            .GetAllNetworkInterfaces()
            .Where(n => n.OperationalStatus == OperationalStatus.Up && n.NetworkInterfaceType != NetworkInterfaceType.Loopback)
            .OrderByDescending(n => n.GetIPProperties().GatewayAddresses.Count)
            .SelectMany(n => n.GetIPProperties().UnicastAddresses)
            .Select(a => a.Address)
            .FirstOrDefault(a => a.AddressFamily == AddressFamily.InterNetwork);

    private static Task Refuse(HttpContext context, int status, string why)
    {
        context.Response.StatusCode = status;
        context.Response.ContentType = "text/plain; charset=utf-8";
        return context.Response.WriteAsync(why);
    }
}
