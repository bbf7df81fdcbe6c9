namespace VibeCheck.Core.Tracks;

/// <summary>Something a careful reader should know.</summary>
/// <param name="Code">Short, fixed, in kebab case.</param>
/// <param name="Text">One or two plain sentences.</param>
public sealed record Warning(string Code, string Text)
{
    /// <summary>The cause with its numbers, from which Reports makes the text; null where <see cref="Text"/> is all there is.</summary>
    public Statistics.Reason? Cause { get; init; }
}
