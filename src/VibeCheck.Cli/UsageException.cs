namespace VibeCheck.Cli;

/// <summary>Options contradict each other, which shows only after the files were read; the message says what to do.</summary>
internal sealed class UsageException(string message) : Exception(message);
