using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;

namespace VibeCheck.Core.Comparisons;

/// <summary>One motor before and after.</summary>
public sealed record MotorComparison
{
    /// <summary>The motor.</summary>
    public required string Id { get; init; }

    /// <summary>Tilt as found, or null.</summary>
    public MotorTilt? TiltBefore { get; init; }

    /// <summary>Tilt as left, or null.</summary>
    public MotorTilt? TiltAfter { get; init; }

    /// <summary>Mean speed before, rpm.</summary>
    public required Estimate RpmBefore { get; init; }

    /// <summary>Mean speed after, rpm.</summary>
    public required Estimate RpmAfter { get; init; }

    /// <summary>Change of each order.</summary>
    public required IReadOnlyList<OrderChange> Orders { get; init; }

    /// <summary>Steady rise of the motor.</summary>
    public required Call MotorTemp { get; init; }

    /// <summary>Steady rise of the ESC.</summary>
    public required Call EscTemp { get; init; }

    /// <summary>Share of the load before and after, with its call.</summary>
    public LoadShareChange LoadShare { get; init; } = LoadShareChange.Unknown(new NotMeasured());

    /// <summary>Share of the load before, 1 is an even share.</summary>
    public Estimate LoadShareBefore { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Share of the load after, 1 is an even share.</summary>
    public Estimate LoadShareAfter { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Mean current before, A.</summary>
    public Estimate CurrentBeforeA { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Mean current after, A.</summary>
    public Estimate CurrentAfterA { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Power after divided by power before: from speed cubed, else from current; null when unknown. Losses follow power, whether
    /// an ESC reports the current of the motor or of the supply.</summary>
    public double? LoadRatio { get; init; }

    /// <summary>Change of the motor's steady rise at the load that it had before, °C: the change corrected for its change of
    /// load.</summary>
    public Estimate MotorRiseAtEqualLoadC { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>The same for its ESC.</summary>
    public Estimate EscRiseAtEqualLoadC { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Why the motor settles warmer or cooler, where a change is called.</summary>
    public RiseCause MotorRiseCause { get; init; }

    /// <summary>The same for its ESC.</summary>
    public RiseCause EscRiseCause { get; init; }
}
