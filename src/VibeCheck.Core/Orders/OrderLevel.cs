using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders;

/// <summary>Size of one order of one motor.</summary>
public sealed record OrderLevel
{
    /// <summary>Cycles per revolution.</summary>
    public required int Order { get; init; }

    /// <summary>Root mean square of the vector sum of the three axes, m/s²: sqrt(Σ_axes mean(A²)/2) over the hover used.</summary>
    public required Estimate RmsMps2 { get; init; }

    /// <summary>The same for x, y and z alone, m/s²; null when unknown.</summary>
    public IReadOnlyList<double>? PerAxisMps2 { get; init; }

    /// <summary>Whether this motor could be distinguished from its neighbours. If not, <see cref="RmsMps2"/> is unknown for the motor alone
    /// and <see cref="GroupMps2"/> has the sum.</summary>
    public required bool Separable { get; init; }

    /// <summary>Ids of the motors whose orders merged, this one included; empty when separable.</summary>
    public IReadOnlyList<string> Group { get; init; } = [];

    /// <summary>Root of the summed squares of the group, m/s²; null when separable.</summary>
    public Estimate? GroupMps2 { get; init; }

    /// <summary>True frequency, Hz, when it lies above half the sample rate and was seen folded; else null.</summary>
    public double? FoldedFromHz { get; init; }
}
