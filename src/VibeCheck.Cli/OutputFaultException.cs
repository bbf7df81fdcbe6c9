namespace VibeCheck.Cli;

/// <summary>A result cannot be written where the user asked for it; the message says where and what to do.</summary>
internal sealed class OutputFaultException(string message, Exception? inner = null) : Exception(message, inner);
