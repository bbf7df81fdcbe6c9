namespace VibeCheck.Cli;

/// <summary>The command line asks for what does not go together, seen only after its files were looked at; told with what to do.</summary>
internal sealed class UsageException(string message) : Exception(message);
