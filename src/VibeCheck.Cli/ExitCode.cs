namespace VibeCheck.Cli;

/// <summary>Exit codes of the tool; scripts depend on them.</summary>
internal static class ExitCode
{
    /// <summary>Done.</summary>
    internal const int Done = 0;

    /// <summary>The command line was wrong.</summary>
    internal const int WrongUsage = 2;

    /// <summary>An input could not be used.</summary>
    internal const int UnusableInput = 3;

    /// <summary>Done, but the flights cannot be compared.</summary>
    internal const int NotComparable = 4;

    /// <summary>A fault of the tool itself.</summary>
    internal const int OwnFault = 70;

    /// <summary>All of them, for the manual.</summary>
    internal static IReadOnlyList<(int Code, string Means)> All { get; } =
    [
        (Done, "done"),
        (WrongUsage, "wrong usage, or a result that cannot be written to the given place"),
        (UnusableInput, "an input could not be used: standard error gives file, line and column, what is wrong and what to do"),
        (NotComparable, "done, but the flights cannot be compared"),
        (OwnFault, "a fault in the tool itself"),
    ];
}
