namespace VibeCheck.Cli;

/// <summary>Tells on the error side what is odd about an input that can be used all the same.</summary>
internal static class InputRemarks
{
    internal static void Write(Terminal terminal, string path, IEnumerable<string> remarks)
    {
        foreach (string remark in remarks)
        {
            terminal.Error.WriteLine($"{path}: {remark}{(remark.EndsWith('?') ? "" : ".")}");
        }
    }
}
