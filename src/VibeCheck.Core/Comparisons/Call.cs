using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>The call on one quantity.</summary>
public enum CallKind
{
    /// <summary>Significantly better, and by enough to matter.</summary>
    Improved,

    /// <summary>No change that is both significant and large enough to matter.</summary>
    NoClearChange,

    /// <summary>Significantly worse, and by enough to matter.</summary>
    Worse,

    /// <summary>Not known; the reason is given with it.</summary>
    Unknown,
}

/// <summary>The call on one quantity, before against after.</summary>
public sealed record Call
{
    /// <summary>The call.</summary>
    public required CallKind Kind { get; init; }

    /// <summary>Before, in the quantity's own unit; null when unknown.</summary>
    public double? Before { get; init; }

    /// <summary>After, in the quantity's own unit; null when unknown.</summary>
    public double? After { get; init; }

    /// <summary>95 % interval of the amount before, including the scatter from flight to flight; null when unknown.</summary>
    public Interval? BeforeCi95 { get; init; }

    /// <summary>The same for the amount after.</summary>
    public Interval? AfterCi95 { get; init; }

    /// <summary>Change from before to after in <see cref="ChangeUnit"/>, with the interval from all sources of uncertainty; negative means
    /// less.</summary>
    public required Estimate Change { get; init; }

    /// <summary>Unit of before and after: m/s² or °C.</summary>
    public required string Unit { get; init; }

    /// <summary>Unit of the change: dB or °C.</summary>
    public required string ChangeUnit { get; init; }

    /// <summary>The reason for this call, or why it is not known.</summary>
    public required Reason Why { get; init; }

    /// <summary>Smallest change that these flights could have detected, in <see cref="ChangeUnit"/>; null when unknown.</summary>
    public double? SmallestShown { get; init; }
}
