using System.CommandLine;
using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Cli;

/// <summary><c>vibecheck workbench [FOLDER]</c>: starts the workbench, which runs in the browser. It is a separate program, so that the
/// command loads no web server.</summary>
internal static class WorkbenchCommand
{
    private const string Program = "vibecheck-workbench";
    private static readonly string[] _runtimeFiles = ["libhostfxr.so", "libhostfxr.dylib", "hostfxr.dll"];

    internal static Command Build(Terminal terminal)
    {
        Argument<string> folder = new("FOLDER")
        {
            Description = "Folder of the job; an empty or new folder starts a new job.",
            DefaultValueFactory = _ => ".",
        };
        Option<bool> noOpen = new("--no-open") { Description = "Print the address only; do not open a browser." };
        Option<bool> share = new("--share")
        {
            Description = "Serve the bench sheet, and nothing else, on the local network: scan the code with the phone.",
        };
        Option<int?> port = new("--port")
        {
            Description = "Port to listen on, on this machine only (default: any free port).",
            HelpName = "PORT",
        };
        port.Validators.Add(result =>
        {
            if (
                !int.TryParse(
                    result.Tokens.Count == 1 ? result.Tokens[0].Value : "",
                    NumberStyles.None,
                    CultureInfo.InvariantCulture,
                    out int number
                ) || number is < 1 or > 65535
            )
            {
                result.AddError("--port takes a number from 1 to 65535.");
            }
        });
        Command command = new("workbench", "Do everything in the browser, on this machine: aircraft, survey, flights and answer.")
        {
            folder,
            noOpen,
            port,
            share,
        };
        command.SetAction(parsed =>
            Run(terminal, parsed.GetRequiredValue(folder), parsed.GetValue(port), parsed.GetValue(noOpen), parsed.GetValue(share))
        );
        return command;
    }

    private static int Run(Terminal terminal, string folder, int? port, bool noOpen, bool share)
    {
        if (File.Exists(folder))
        {
            throw new InputFaultException(
                new InputFault(
                    folder,
                    null,
                    null,
                    "this is a file, and the workbench works in a folder",
                    "Name the folder of the job; it is made if missing."
                )
            );
        }

        // The full path, so that a folder whose name begins with a dash is not taken for an option.
        List<string> arguments =
        [
            folder.StartsWith('-') ? Path.Combine(".", folder) : folder,
            .. port is int number ? (string[])["--port", number.ToString(CultureInfo.InvariantCulture)] : [],
            .. noOpen ? (string[])["--no-open"] : [],
            .. share ? (string[])["--share"] : [],
            "--parent",
            Environment.ProcessId.ToString(CultureInfo.InvariantCulture),
        ];
        using Process process = Start(arguments);
        using PosixSignalRegistration interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, context => context.Cancel = true);
        using PosixSignalRegistration terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, context => Stop(context, process));
        using PosixSignalRegistration hangup = PosixSignalRegistration.Create(PosixSignal.SIGHUP, context => Stop(context, process));
        process.WaitForExit();
        return process.ExitCode;
    }

    /// <summary>On SIGTERM and SIGHUP, kills the workbench. An interrupt from the keyboard reaches both programs by itself.</summary>
    private static void Stop(PosixSignalContext context, Process process)
    {
        context.Cancel = true;
        process.Kill();
    }

    private static Process Start(List<string> arguments)
    {
        ProcessStartInfo start = Found(arguments);
        try
        {
            return Process.Start(start) ?? throw new UsageException($"{start.FileName} could not be started.");
        }
        catch (Win32Exception e)
        {
            throw new UsageException($"{start.FileName} could not be started ({e.Message.TrimEnd('.')}). Install vibecheck again.");
        }
    }

    private static ProcessStartInfo Found(List<string> arguments)
    {
        string folder =
            Places().FirstOrDefault(p => File.Exists(Path.Combine(p, Program + ".dll")))
            ?? throw new UsageException(
                $"The workbench is missing: {Program} is neither in {Places().First()} nor beside the command. Install vibecheck "
                    + $"again, or build the whole solution."
            );
        string own = Path.Combine(folder, Program + (OperatingSystem.IsWindows() ? ".exe" : ""));
        string runtime = Path.GetFullPath(Path.Combine(RuntimeEnvironment.GetRuntimeDirectory(), "..", "..", "..")),
            host = Path.Combine(runtime, OperatingSystem.IsWindows() ? "dotnet.exe" : "dotnet");
        if (BringsRuntime(folder) || !File.Exists(host))
        {
            return new ProcessStartInfo(own, arguments) { UseShellExecute = false };
        }

        if (!Directory.Exists(Path.Combine(runtime, "shared", "Microsoft.AspNetCore.App")))
        {
            throw new UsageException(
                $"The workbench needs the ASP.NET Core runtime {Environment.Version.Major}.0, which {runtime} does not hold. Install "
                    + $"it (package aspnetcore-runtime-{Environment.Version.Major}.0), or take the published program, which brings its own."
            );
        }

        return new ProcessStartInfo(host, [Path.Combine(folder, Program + ".dll"), .. arguments]) { UseShellExecute = false };
    }

    private static bool BringsRuntime(string folder) => _runtimeFiles.Any(f => File.Exists(Path.Combine(folder, f)));

    /// <summary>In the published program and the packed tool it stands in a folder beside the command; after a build, in the folder of
    /// its own project.</summary>
    private static IEnumerable<string> Places()
    {
        string own = Path.TrimEndingDirectorySeparator(AppContext.BaseDirectory);
        yield return Path.Combine(own, "workbench");
        yield return Path.GetFullPath(Path.Combine(own, "..", "..", "VibeCheck.Workbench", Path.GetFileName(own)));
    }
}
