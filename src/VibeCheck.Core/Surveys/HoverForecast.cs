using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>What the tilts do to a hover, before and after the plan.</summary>
public sealed record HoverForecast
{
    /// <summary>Yaw moment as found at equal thrusts, N·m, positive clockwise from above.</summary>
    public required Estimate MomentBeforeNm { get; init; }

    /// <summary>The same after the plan.</summary>
    public required Estimate MomentAfterNm { get; init; }

    /// <summary>Speed split as found.</summary>
    public required Estimate SplitBefore { get; init; }

    /// <summary>Speed split after the plan.</summary>
    public required Estimate SplitAfter { get; init; }

    /// <summary>Share of the thrust lost to lean as found, 0 to 1.</summary>
    public required double ThrustLostBefore { get; init; }

    /// <summary>The group that should run cooler after the plan; null when none is shown to.</summary>
    public Spin? CoolerGroup { get; init; }

    /// <summary>By how much that group's mean thrust changes, share of its thrust before; below 0
    /// for less. Null when there is no such group.</summary>
    public double? CoolerGroupThrustChange { get; init; }
}
