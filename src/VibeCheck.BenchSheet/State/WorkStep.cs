using VibeCheck.Core.Surveys;

namespace VibeCheck.BenchSheet.State;

/// <summary>One place to read at a motor.</summary>
/// <param name="Where">The surface under the gauge.</param>
/// <param name="Direction">The direction that it measures.</param>
public sealed record WorkStep(GaugePlace Where, TiltDirection Direction)
{
    /// <summary>The places in the order of work.</summary>
    internal static IReadOnlyList<WorkStep> InOrder { get; } =
    [
        new(GaugePlace.Frame, TiltDirection.Across),
        new(GaugePlace.Mount, TiltDirection.Across),
        new(GaugePlace.Frame, TiltDirection.Along),
        new(GaugePlace.Mount, TiltDirection.Along),
    ];

    /// <summary>The side that a target at the right, or at the top, stands for.</summary>
    internal LowSide Positive => Direction == TiltDirection.Across ? LowSide.Right : LowSide.Out;

    /// <summary>The side that a target at the left, or at the bottom, stands for.</summary>
    internal LowSide Negative => Direction == TiltDirection.Across ? LowSide.Left : LowSide.In;
}
