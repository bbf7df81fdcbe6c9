namespace VibeCheck.Cli;

/// <summary>A result cannot be written to the requested path; the message names the path and says what to do.</summary>
internal sealed class OutputFaultException(string message, Exception? inner = null) : Exception(message, inner);
