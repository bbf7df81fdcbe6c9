namespace VibeCheck.Cli;

/// <summary>Reports on standard error what is unusual about an input that can still be used.</summary>
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
