using System.Net;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.DataProtection.KeyManagement;
using VibeCheck.Workbench.Jobs;
using VibeCheck.Workbench.Pages;

namespace VibeCheck.Workbench.Hosting;

/// <summary>Puts the server together.</summary>
internal static class WorkbenchHost
{
    private const long LargestRequestBytes = 1 << 20;
    private const int MostSleepingPages = 20;
    private static readonly TimeSpan s_pageSleeps = TimeSpan.FromHours(12);

    /// <summary>The server, not yet started. It knows no settings but its arguments: variables and files meant for other servers on this machine
    /// must not open a second door.</summary>
    internal static WebApplication Build(DeskOptions options, DeskKey key)
    {
        WebApplicationBuilder builder = WebApplication.CreateEmptyBuilder(
            new WebApplicationOptions
            {
                // What the program serves stands beside it; the folder it works in is the job's.
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
                // The guard's own policy says more.
                o.ContentSecurityFrameAncestorsPolicy = null;
                o.DisableWebSocketCompression = true;
            });
        return app;
    }

    /// <summary>Makes what the first page needs while the server starts: its routes, and the keys of this run.</summary>
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

                // A page that a browser laid to sleep comes back with what was typed in it; a page that was closed is let go at once.
                circuit.DisconnectedCircuitRetentionPeriod = s_pageSleeps;
                circuit.DisconnectedCircuitMaxRetained = MostSleepingPages;
            });
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
