using VibeCheck.Reports;

namespace VibeCheck.Cli;

/// <summary>Puts a result where the user asked for it; where that cannot be, the fault is the user's to mend.</summary>
internal static class ResultOutput
{
    /// <summary>Whether the option asks for standard output, where nothing else may then stand.</summary>
    internal static bool IsStandardOutput(string? path) => path == "-";

    /// <summary>Writes to a file, whole or not at all, or to standard output for "-"; does nothing for null.</summary>
    internal static void Write(Terminal terminal, string? path, Action<Stream> write)
    {
        if (path is null)
        {
            return;
        }

        if (IsStandardOutput(path))
        {
            using var memory = new MemoryStream();
            write(memory);
            terminal.Output.Write(System.Text.Encoding.UTF8.GetString(memory.GetBuffer(), 0, (int)memory.Length));
            return;
        }

        Guarded(path, () => WholeFile.Write(path, write));
    }

    /// <summary>Makes the folder that a file shall stand in.</summary>
    internal static void CreateFolderFor(string path) =>
        Guarded(path, () => Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!));

    private static void Guarded(string path, Action write)
    {
        try
        {
            write();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            throw new OutputFaultException($"{path}: the file cannot be written ({e.Message.TrimEnd('.')}). Give a path in a folder that exists and that you may write to.", e);
        }
    }
}
