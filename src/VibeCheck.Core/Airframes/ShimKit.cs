namespace VibeCheck.Core.Airframes;

/// <summary>The shims at hand.</summary>
/// <param name="ThicknessesMm">Thicknesses in the kit, mm, each above 0.</param>
/// <param name="MaxStack">Most pieces that may lie under one bolt, 1 or more.</param>
public sealed record ShimKit(IReadOnlyList<double> ThicknessesMm, int MaxStack);
