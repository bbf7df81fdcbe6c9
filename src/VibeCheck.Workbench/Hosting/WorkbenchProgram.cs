using System.Diagnostics;
using System.Net.Sockets;
using VibeCheck.Reports.Pages;
using VibeCheck.Workbench.Jobs;
using VibeCheck.Workbench.Sharing;

namespace VibeCheck.Workbench.Hosting;

/// <summary>The program from its arguments to its exit code.</summary>
internal static class WorkbenchProgram
{
    private const int Done = 0,
        WrongUsage = 2;

    /// <summary>Serves the workbench until it is stopped.</summary>
    /// <returns>Exit code: 0 when it was stopped, 2 for wrong arguments, an unusable folder or a port that cannot be opened.</returns>
    internal static async Task<int> RunAsync(string[] args, TextWriter output, TextWriter error)
    {
        if (DeskOptions.Read(args) is not DeskOptions options)
        {
            await error.WriteLineAsync(DeskOptions.Usage).ConfigureAwait(false);
            return WrongUsage;
        }

        if (FolderProblem(options.Folder) is string problem)
        {
            await error.WriteLineAsync($"vibecheck: {problem}").ConfigureAwait(false);
            return WrongUsage;
        }

        var key = DeskKey.Create();
        await using WebApplication app = WorkbenchHost.Build(options, key);
        WorkbenchHost.PrepareFirstPage(app);
        try
        {
            await app.StartAsync().ConfigureAwait(false);
        }
        catch (Exception e) when (e is IOException or SocketException)
        {
            await error
                .WriteLineAsync($"vibecheck: {PortProblem(options.Port, e)} Leave --port out, or give another.")
                .ConfigureAwait(false);
            return WrongUsage;
        }

        // Nobody knows the address yet, so no upload can be under way.
        app.Services.GetRequiredService<JobFolder>().RemoveDrafts();

        // The files of the job are read while the browser starts.
        var desk = Task.Run(app.Services.GetRequiredService<Desk>);

        // The drawing library loads once the first page is there, while the logs are read.
        _ = app.Services.GetRequiredService<FirstPage>().Ready.ContinueWith(_ => PageDrawing.PrepareAsync(), TaskScheduler.Default);
        string address = key.AddressOf(app);
        await output
            .WriteLineAsync($"Workbench for {options.Folder}: open this address in a browser on this machine. Ctrl+C stops it.")
            .ConfigureAwait(false);
        await output.WriteLineAsync(address).ConfigureAwait(false);
        await output.FlushAsync().ConfigureAwait(false);
        if (options.Opens && !BrowserOpener.TryOpen(address))
        {
            await error.WriteLineAsync("vibecheck: no browser could be opened from here; open the address by hand.").ConfigureAwait(false);
        }

        await desk.ConfigureAwait(false);
        await using WebApplication? shared = options.Shares ? await ShareHost.StartAsync(app.Services, output).ConfigureAwait(false) : null;
        StopWith(options.Parent, app);
        await app.WaitForShutdownAsync().ConfigureAwait(false);
        return Done;
    }

    /// <summary>Why a port could not be opened, as a sentence. A server reports a port in use as an IOException, all else as it is.</summary>
    internal static string PortProblem(int port, Exception e) =>
        (e as SocketException ?? e.GetBaseException() as SocketException)?.SocketErrorCode switch
        {
            SocketError.AccessDenied =>
                $"port {port} may not be opened by this user. Many systems keep ports below 1024 for the administrator.",
            SocketError.AddressAlreadyInUse or null => $"port {port} is in use by another program, perhaps another workbench.",
            _ => $"port {port} cannot be opened ({e.Message.TrimEnd('.')}).",
        };

    private static string? FolderProblem(string folder)
    {
        if (File.Exists(folder))
        {
            return $"{folder} is a file. Name the folder of a job; it is made where it is missing.";
        }

        try
        {
            Directory.CreateDirectory(folder);
            return null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return $"{folder} cannot be made ({e.Message.TrimEnd('.')}). Name a folder that you may write to.";
        }
    }

    /// <summary>Stops the server when the process that started it has ended, for whatever reason.</summary>
    private static void StopWith(int? parent, WebApplication app)
    {
        if (parent is not int id)
        {
            return;
        }

        _ = Task.Run(async () =>
        {
            try
            {
                using Process process = Process.GetProcessById(id);
                await process.WaitForExitAsync().ConfigureAwait(false);
            }
            catch (Exception e) when (e is ArgumentException or InvalidOperationException)
            {
                // It has ended already.
            }

            app.Lifetime.StopApplication();
        });
    }
}
