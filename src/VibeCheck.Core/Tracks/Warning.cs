namespace VibeCheck.Core.Tracks;

/// <summary>Something odd about a file, reported by the code that read it.</summary>
/// <param name="Code">Short, fixed, in kebab case.</param>
/// <param name="Text">One or two plain sentences.</param>
public sealed record Warning(string Code, string Text);
