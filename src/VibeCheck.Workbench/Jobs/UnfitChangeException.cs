using VibeCheck.Logs.Inputs;

namespace VibeCheck.Workbench.Jobs;

/// <summary>A change was not written, because the file could not be read again with it. The file stays as it was.</summary>
internal sealed class UnfitChangeException : Exception
{
    private UnfitChangeException(InputFault fault)
        : base($"It was not saved, because the file could not be read again with it: {fault.Problem}. {fault.Remedy}") { }

    /// <summary>Returns a text after checking that it can be read as the file that it will be written to.</summary>
    /// <param name="text">The text.</param>
    /// <param name="read">Reads it.</param>
    /// <exception cref="UnfitChangeException">It cannot be read.</exception>
    internal static string Checked(string text, Action<string> read)
    {
        try
        {
            read(text);
            return text;
        }
        catch (InputFaultException e)
        {
            throw new UnfitChangeException(e.Fault);
        }
    }
}
