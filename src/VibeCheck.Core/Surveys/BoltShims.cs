using VibeCheck.Core.Airframes;

namespace VibeCheck.Core.Surveys;

/// <summary>The shims under one bolt.</summary>
/// <param name="Bolt">The bolt.</param>
/// <param name="StackMm">Thicknesses from the mount up, thickest first, mm; empty for none.</param>
public sealed record BoltShims(Bolt Bolt, IReadOnlyList<double> StackMm)
{
    /// <summary>Height of the stack, mm.</summary>
    public double HeightMm => StackMm.Sum();
}
