namespace VibeCheck.Core.Airframes;

/// <summary>The shims at hand.</summary>
/// <param name="ThicknessesMm">Thicknesses in the kit, mm, each above 0.</param>
/// <param name="MaxStack">Most pieces that may lie under one bolt, 1 or more.</param>
public sealed record ShimKit(IReadOnlyList<double> ThicknessesMm, int MaxStack)
{
    /// <summary>Pieces left of each thickness, in the same order; null when the kit is as good as endless.</summary>
    public IReadOnlyList<int>? Counts { get; init; }

    /// <summary>What is assumed where the airframe lists no kit: 0.1, 0.2 and 0.3 mm, two to a bolt (common practice).</summary>
    public static ShimKit Usual { get; } = new([0.1, 0.2, 0.3], 2);
}
