using System.Net;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.DataProtection.KeyManagement;
using VibeCheck.Workbench.Jobs;
using VibeCheck.Workbench.Pages;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Builds the server.</summary>
internal static class WorkbenchHost
{
    private const long LargestRequestBytes = 1 << 20;
    private const int MostSleepingPages = 20;
    private static readonly TimeSpan s_pageSleeps = TimeSpan.FromHours(12);

    /// <summary>How long an open page may send nothing before its connection is closed. Browsers run the timers of hidden pages once a
    /// minute; the 30 s of the library would close such a page's connection each time.</summary>
    private static readonly TimeSpan s_pageIsSilent = TimeSpan.FromMinutes(2.5);

    /// <summary>The server, not yet started. It reads no settings but its arguments and <c>VIBECHECK_TRACE</c>, so that variables and
    /// files meant for other servers cannot open it on another address.</summary>
    internal static WebApplication Build(DeskOptions options, DeskKey key)
    {
        WebApplicationBuilder builder = WebApplication.CreateEmptyBuilder(
            new WebApplicationOptions
            {
                // The served files are beside the program; the working folder is the folder of the job.
                ContentRootPath = AppContext.BaseDirectory,
                WebRootPath = Path.Combine(AppContext.BaseDirectory, "wwwroot"),
                ApplicationName = typeof(WorkbenchHost).Assembly.GetName().Name,
                EnvironmentName = Environments.Production,
            }
        );
        builder.WebHost.UseStaticWebAssets();
        builder.WebHost.UseKestrelCore();
        builder.WebHost.ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Limits.MaxRequestBodySize = LargestRequestBytes;
            kestrel.Listen(IPAddress.Loopback, options.Port);
        });
        if (Environment.GetEnvironmentVariable("VIBECHECK_TRACE") == "1")
        {
            builder.Logging.AddSimpleConsole();
        }

        AddServices(builder.Services, options, key);
        WebApplication app = builder.Build();
        app.UseMiddleware<RequestGuard>();
        app.UseStatusCodePagesWithReExecute("/not-found", createScopeForStatusCodePages: true);
        app.UseAntiforgery();
        app.MapStaticAssets();
        StyleEndpoints.Map(app);
        UploadEndpoint.Map(app);
        AnswerEndpoints.Map(app);
        TimeEndpoint.Map(app);
        SheetEndpoints.Map(app);
        app.MapRazorComponents<App>()
            .AddInteractiveServerRenderMode(o =>
            {
                // RequestGuard sets a stricter policy.
                o.ContentSecurityFrameAncestorsPolicy = null;
                o.DisableWebSocketCompression = true;
            });
        return app;
    }

    /// <summary>Prepares what the first page needs while the server starts: the routes, and the keys of this run.</summary>
    internal static void PrepareFirstPage(WebApplication app)
    {
        _ = Task.Run(() => ((IEndpointRouteBuilder)app).DataSources.Sum(s => s.Endpoints.Count));
        _ = Task.Run(() => app.Services.GetRequiredService<IDataProtectionProvider>().CreateProtector("start").Protect([0]));
    }

    private static void AddServices(IServiceCollection services, DeskOptions options, DeskKey key)
    {
        services.AddRouting();
        services.AddSingleton(key);
        services.AddSingleton(new JobFolder(options.Folder));
        services.AddSingleton<FirstPage>();
        services.AddSingleton<Desk>();
        services.AddSingleton<SheetInbox>();
        services.AddSingleton<AircraftHistory.AircraftJobs>();
        services
            .AddRazorComponents()
            .AddInteractiveServerComponents(circuit =>
            {
                circuit.DetailedErrors = Environment.GetEnvironmentVariable("VIBECHECK_TRACE") == "1";

                // A page that the browser suspended keeps what was typed in it when it returns; a page that was closed is released at once.
                circuit.DisconnectedCircuitRetentionPeriod = s_pageSleeps;
                circuit.DisconnectedCircuitMaxRetained = MostSleepingPages;
            })
            .AddHubOptions(hub => hub.ClientTimeoutInterval = s_pageIsSilent);
        services.AddAntiforgery(o =>
        {
            o.HeaderName = UploadEndpoint.TokenHeader;
            o.Cookie.Name = "vibecheck-form";
            o.Cookie.SameSite = SameSiteMode.Strict;
        });

        services.AddDataProtection();
        services.Configure<KeyManagementOptions>(o => (o.XmlRepository, o.XmlEncryptor) = (new RunKeys(), null));
        services.Configure<HostOptions>(o => o.ShutdownTimeout = TimeSpan.FromSeconds(2));
    }
}
