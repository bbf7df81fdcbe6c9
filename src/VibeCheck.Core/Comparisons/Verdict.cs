namespace VibeCheck.Core.Comparisons;

/// <summary>The answer to "did it help?".</summary>
public enum Verdict
{
    /// <summary>Something that matters got better, and nothing that matters got worse.</summary>
    Improved,

    /// <summary>No significant change of anything that matters.</summary>
    NoClearChange,

    /// <summary>Something got better and something got worse.</summary>
    Mixed,

    /// <summary>Something that matters got worse, and nothing got better.</summary>
    Worse,

    /// <summary>The flights cannot be compared.</summary>
    NotComparable,
}
