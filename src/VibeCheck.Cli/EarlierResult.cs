using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Cli;

/// <summary>Whether an existing file may be an earlier result of an option, judged by how it begins.</summary>
internal static class EarlierResult
{
    private const int LettersRead = 4096;

    /// <summary>The kind of file that the option writes, where the existing file is of another kind. Null where the file may be replaced:
    /// it is of that kind, it is empty, or the option has no kind of its own.</summary>
    internal static string? KindExpected(string option, string path) =>
        option switch
        {
            "--json" => Begins(path, "{") ? null : "JSON",
            "--report" or "--card" => Begins(path, "<") ? null : "a page",
            "--tables" => Begins(path, "motor,", "stage,") ? null : "a table of this program",
            "--write-columns" => Begins(path) || IsColumnsFile(path) ? null : "a columns file",
            _ => null,
        };

    /// <summary>Whether a file begins, after white space, with one of the texts. Also true where it is empty or cannot be read: the later
    /// write then reports the fault.</summary>
    private static bool Begins(string path, params ReadOnlySpan<string> texts)
    {
        char[] start = new char[LettersRead];
        int read;
        try
        {
            using var reader = new StreamReader(path);
            read = reader.ReadBlock(start, 0, LettersRead);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return true;
        }

        string text = new string(start, 0, read).TrimStart();
        bool begins = text.Length == 0;
        foreach (string expected in texts)
        {
            begins |= text.StartsWith(expected, StringComparison.OrdinalIgnoreCase);
        }

        return begins;
    }

    private static bool IsColumnsFile(string path)
    {
        try
        {
            ColumnsFile.Read(path);
            return true;
        }
        catch (InputFaultException)
        {
            return false;
        }
    }
}
