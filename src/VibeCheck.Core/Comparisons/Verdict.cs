namespace VibeCheck.Core.Comparisons;

/// <summary>The answer to "did it help?".</summary>
public enum Verdict
{
    /// <summary>Something that matters got better, nothing that matters got worse.</summary>
    Improved,

    /// <summary>Nothing that matters is shown to have changed.</summary>
    NoClearChange,

    /// <summary>Something got better and something got worse.</summary>
    Mixed,

    /// <summary>Something that matters got worse, nothing better.</summary>
    Worse,

    /// <summary>The flights cannot be compared.</summary>
    NotComparable,
}
