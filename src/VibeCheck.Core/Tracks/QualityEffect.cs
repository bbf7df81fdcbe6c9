namespace VibeCheck.Core.Tracks;

/// <summary>What was done about a fault of a log.</summary>
public enum QualityEffect
{
    /// <summary>The fault was undone; the uncertainty that it leaves is in the intervals.</summary>
    Repaired,

    /// <summary>Intervals were made wider.</summary>
    Widened,

    /// <summary>What rests on the faulty samples is unknown.</summary>
    Withheld,

    /// <summary>The flights cannot be compared.</summary>
    NotComparable,
}
