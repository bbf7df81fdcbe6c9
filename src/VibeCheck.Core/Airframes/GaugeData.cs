using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Airframes;

/// <summary>Data of the gauge, degrees; each null when not given.</summary>
/// <param name="ResolutionDeg">Smallest step of the display.</param>
/// <param name="AccuracyDeg">The maker's ± limit for one reading, zero error included.</param>
/// <param name="RepeatabilityDeg">Standard deviation of setting the gauge down again, without what the display's steps add.</param>
public sealed record GaugeData(double? ResolutionDeg, double? AccuracyDeg, double? RepeatabilityDeg)
{
    /// <summary>± bound within which a gauge that is set down again repeats its reading, taken where no repeatability
    /// is stated, degrees: 0.015 mm of dust, burr or seat under
    /// one end of a foot of 28 mm (common practice).</summary>
    public const double UsualBoundDeg = 0.03;

    /// <summary>Standard deviation of that bound taken as rectangular (GUM 4.3.7), degrees.</summary>
    public static double UsualRepeatabilityDeg { get; } = UncertaintyBudget.Rectangular(UsualBoundDeg);

    /// <summary>Freedom of the usual repeatability: known to about half of itself, ν = ½ (Δu/u)⁻² (GUM G.4.2).</summary>
    public const double UsualFreedom = 2;

    /// <summary>Freedom of a stated repeatability: known to about a quarter of itself (GUM G.4.2).</summary>
    public const double StatedFreedom = 8;
}
