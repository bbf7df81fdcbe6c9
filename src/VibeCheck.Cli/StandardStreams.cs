using System.Runtime.InteropServices;
using System.Text;
using Microsoft.Win32.SafeHandles;
using VibeCheck.Reports.Files;

namespace VibeCheck.Cli;

/// <summary>The three streams that a process is started with, and the names by which an option may ask for them.</summary>
internal static class StandardStreams
{
    private const int Input = 0,
        Output = 1,
        Error = 2;

    // Holds the descriptors of closed streams. Otherwise a log opened later could get descriptor 1, and text for standard output would go
    // into it.
    private static readonly List<SafeFileHandle> _holders = [];

    /// <summary>Whether an option asks for standard output, where nothing else may then stand.</summary>
    internal static bool IsOutput(string? path) => path == "-" || IsNamed(path, Output, "/dev/stdout");

    /// <summary>Whether an option asks for standard error.</summary>
    internal static bool IsError(string? path) => IsNamed(path, Error, "/dev/stderr");

    /// <summary>Whether an option or argument asks for standard input.</summary>
    internal static bool IsInput(string? path) => IsNamed(path, Input, "/dev/stdin");

    /// <summary>Opens the streams of this process for text.</summary>
    internal static Terminal Open()
    {
        bool[] open = [.. new[] { Input, Output, Error }.Select(IsOpen)];

        // Set on the system's console, so that code that asks it for width and colours uses the same writers.
        var result = new ResultStream(open[Output] ? Console.OpenStandardOutput() : null);
        Console.SetOut(new StreamWriter(result, WithoutMark(Console.OutputEncoding)) { AutoFlush = true });
        Console.SetError(open[Error] ? new QuietWriter(Console.Error) : TextWriter.Null);
        return new(Console.Out, Console.Error, open[Input] ? Console.In : TextReader.Null, open[Error] && !Console.IsErrorRedirected)
        {
            IsInputOpen = open[Input],
            IsOutputTerminal = open[Output] && !Console.IsOutputRedirected,
            CanAsk = open[Input] && !Console.IsInputRedirected && open[Error] && !Console.IsErrorRedirected,
            Width = open[Output] && !Console.IsOutputRedirected ? Terminal.WidthOfConsole() : Terminal.UsualWidth,
            Redirected = [.. new[] { Output, Error }.Where(n => open[n]).Select(PlaceOf).OfType<FilePlace>()],
            RedirectedInput = open[Input] ? PlaceOf(Input) : null,
        };
    }

    private static Encoding WithoutMark(Encoding encoding) =>
        encoding is UTF8Encoding ? new UTF8Encoding(encoderShouldEmitUTF8Identifier: false) : encoding;

    /// <summary>The file that a stream was redirected to; null for a terminal, a pipe or a device.</summary>
    private static FilePlace? PlaceOf(int number)
    {
        string path = OperatingSystem.IsLinux() ? $"/proc/self/fd/{number}" : $"/dev/fd/{number}";
        if (OperatingSystem.IsWindows() || FilePlace.Of(path) is not { Kind: FilePlaceKind.File } place)
        {
            return null;
        }

        // Prefers the place of its name, where the file still has one.
        return
            OperatingSystem.IsLinux()
            && new FileInfo(path).LinkTarget is string name
            && FilePlace.Of(name) is var named
            && named.IsSameFileAs(place)
            ? named
            : place;
    }

    // A descriptor inherited at start does not have the close-on-exec flag, or it would not have been inherited. A descriptor with that
    // flag was opened by the runtime for itself, and writing to it would break the runtime.
    private static bool IsOpen(int number)
    {
        const int GetFlags = 1,
            CloseOnExec = 1;
        if (OperatingSystem.IsWindows())
        {
            return true;
        }

        int flags = Fcntl(number, GetFlags);
        if (flags < 0)
        {
            _holders.Add(File.OpenHandle("/dev/null"));
        }

        return flags >= 0 && (flags & CloseOnExec) == 0;
    }

    private static bool IsNamed(string? path, int number, string name)
    {
        if (string.IsNullOrEmpty(path) || OperatingSystem.IsWindows())
        {
            return false;
        }

        string at = Path.GetFullPath(path);
        for (int links = 0; links < 8; links++)
        {
            if (
                at == name
                || at == $"/dev/fd/{number}"
                || at == $"/proc/self/fd/{number}"
                || at == $"/proc/{Environment.ProcessId}/fd/{number}"
            )
            {
                return true;
            }

            if (File.Exists(at) && File.ResolveLinkTarget(at, returnFinalTarget: false)?.FullName is string next)
            {
                at = next;
            }
            else
            {
                return false;
            }
        }

        return false;
    }

#pragma warning disable SYSLIB1054 // The generated form needs unsafe code in the whole assembly, for one call.
    [DllImport("libc", EntryPoint = "fcntl")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int Fcntl(int file, int command);
#pragma warning restore SYSLIB1054
}
