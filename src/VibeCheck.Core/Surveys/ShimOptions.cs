namespace VibeCheck.Core.Surveys;

/// <summary>What the user may set about a plan.</summary>
public sealed record ShimOptions
{
    /// <summary>Plans that differ by less than this in the tilt left count as equal, degrees: far less than any gauge sees.</summary>
    public const double EqualDeg = 0.005;

    /// <summary>Tolerance of a mount's tilt, degrees, above 0. 0.1° by common practice, because no limit is published.</summary>
    public double ToleranceDeg { get; init; } = 0.1;

    /// <summary>Whether cautions give lengths in inches instead of millimetres.</summary>
    public bool Inch { get; init; }

    /// <summary>How far a bolt's stack may lie off the plane through all of them, mm. A shim of 0.1
    /// mm under one of four bolts is 0.025 mm off.</summary>
    public double RockingLimitMm { get; init; } = 0.02;
}
