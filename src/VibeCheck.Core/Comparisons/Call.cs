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

    /// <summary>Not known; the reason is beside it.</summary>
    Unknown,
}

/// <summary>The call on one quantity, before against after.</summary>
public sealed record Call
{
    /// <summary>What is called.</summary>
    public required CallKind Kind { get; init; }

    /// <summary>Before, in the quantity's own unit; null when unknown.</summary>
    public double? Before { get; init; }

    /// <summary>After, in the quantity's own unit; null when unknown.</summary>
    public double? After { get; init; }

    /// <summary>95 % interval of the amount before, with how flights scatter from one to the next in it; null when unknown.</summary>
    public Interval? BeforeCi95 { get; init; }

    /// <summary>The same of the amount after.</summary>
    public Interval? AfterCi95 { get; init; }

    /// <summary>Change from before to after in <see cref="ChangeUnit"/>, with the interval from all sources of uncertainty; negative
    /// is less.</summary>
    public required Estimate Change { get; init; }

    /// <summary>Unit of before and after: m/s² or °C.</summary>
    public required string Unit { get; init; }

    /// <summary>Unit of the change: dB or °C.</summary>
    public required string ChangeUnit { get; init; }

    /// <summary>Why this call, or why it is not known.</summary>
    public required Reason Why { get; init; }

    /// <summary>Smallest change that these flights could have shown, in <see cref="ChangeUnit"/>; null when unknown.</summary>
    public double? SmallestShown { get; init; }
}
