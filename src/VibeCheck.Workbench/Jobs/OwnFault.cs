namespace VibeCheck.Workbench.Jobs;

/// <summary>The text for a fault of the tool itself, which neither a file nor the disk explains.</summary>
internal static class OwnFault
{
    /// <summary>What to do about it.</summary>
    internal const string Remedy = "Please report it with what you did and, if you may, the files.";

    /// <summary>What happened, as the start of a sentence without its full stop.</summary>
    internal static string Problem(Exception e) => $"a fault of the tool itself: {e.GetType().Name}: {e.Message.TrimEnd('.')}";

    /// <summary>What happened and what to do, as sentences.</summary>
    internal static string Text(Exception e) => $"A{Problem(e)[1..]}. {Remedy}";
}
