using System.Globalization;
using System.Text;
using VibeCheck.Reports.Files;
using VibeCheck.Reports.Formatting;

namespace VibeCheck.Cli;

/// <summary>Writes a result to the path that the user named; where that fails, the user is told what to do.</summary>
internal static class ResultOutput
{
    /// <summary>Writes a result in every requested form.</summary>
    /// <param name="terminal">Receives the summary, unless JSON or the page is written there.</param>
    /// <param name="json">Path, if requested, and content.</param>
    /// <param name="page">Path, if requested, and content.</param>
    /// <param name="summary">Writes the summary.</param>
    internal static void Write(
        Terminal terminal,
        (string? Path, Action<Stream> Content) json,
        (string? Path, Action<Stream> Content) page,
        Action summary
    )
    {
        Write(terminal, json.Path, json.Content);
        Write(terminal, page.Path, page.Content);
        if (!IsStandardOutput(json.Path) && !IsStandardOutput(page.Path))
        {
            summary();
        }
    }

    /// <summary>Whether the option asks for standard output, where nothing else may then stand.</summary>
    internal static bool IsStandardOutput(string? path) => StandardStreams.IsOutput(path);

    /// <summary>Writes to a file, whole or not at all, and names it on the error side; or to
    /// standard output for "-". Does nothing for null.</summary>
    internal static void Write(Terminal terminal, string? path, Action<Stream> write, bool tell = true)
    {
        if (path is null)
        {
            return;
        }

        if (IsStandardOutput(path) || StandardStreams.IsError(path))
        {
            using var memory = new MemoryStream();
            write(memory);
            (IsStandardOutput(path) ? terminal.Output : terminal.Error).Write(
                Escaped(Encoding.UTF8.GetString(memory.GetBuffer(), 0, (int)memory.Length))
            );
            return;
        }

        Guarded(path, () => WholeFile.Write(path, write));
        if (
            tell
            && FilePlace.Of(path).Kind == FilePlaceKind.File
            && !path.StartsWith("/dev/", StringComparison.Ordinal)
            && !path.StartsWith("/proc/", StringComparison.Ordinal)
        )
        {
            terminal.Error.WriteLine($"Written: {path}");
        }
    }

    /// <summary>Creates the folder of a file.</summary>
    internal static void CreateFolderFor(string path) =>
        Guarded(path, () => Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!));

    /// <summary>Runs a write and reports its failure as a fault of the output.</summary>
    internal static void Guarded(string path, Action write)
    {
        try
        {
            write();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            throw new OutputFaultException(
                $"{path}: the file cannot be written ({Cause(e, path)}). Give a path in a folder that exists and that you may write to.",
                e
            );
        }
    }

    /// <summary>Why a file could not be written, without names that the user never gave.</summary>
    internal static string Cause(Exception e, string path)
    {
        const int NoSpaceLeft = 28,
            NoSpaceLeftOnWindows = unchecked((int)0x80070070);
        return e switch
        {
            DirectoryNotFoundException => "there is no such folder",
            UnauthorizedAccessException => "it may not be written to",
            PathTooLongException => "the name is too long",
            IOException { HResult: NoSpaceLeft or NoSpaceLeftOnWindows } => "No space left on device",
            _ when e.Message.Contains(".part", StringComparison.Ordinal) =>
                $"the system refuses it at {Path.GetDirectoryName(Path.GetFullPath(path))}",
            _ => e.Message.TrimEnd('.'),
        };
    }

    // The JSON writer does not escape bidirectional marks. They occur only inside strings, where a \u escape has the same meaning.
    private static string Escaped(string text) =>
        text.All(c => c is '\n' || ShowableText.IsShowable(c))
            ? text
            : string.Concat(
                text.Select(c =>
                    c is '\n' or '\t' || ShowableText.IsShowable(c)
                        ? c.ToString()
                        : string.Create(CultureInfo.InvariantCulture, $"\\u{(int)c:X4}")
                )
            );
}
