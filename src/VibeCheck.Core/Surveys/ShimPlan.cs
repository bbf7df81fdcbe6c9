using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>What to do at a motor.</summary>
public enum ShimAction
{
    /// <summary>Surely out of tolerance: shim it.</summary>
    Shim,

    /// <summary>Surely in tolerance, or no shim would make it better: leave it.</summary>
    Leave,

    /// <summary>The readings cannot tell, or there are none: measure again.</summary>
    MeasureAgain,
}

/// <summary>What the user may set about a plan.</summary>
public sealed record ShimOptions
{
    /// <summary>Plans that differ by less than this in the tilt left count as equal, degrees: far less than any gauge sees.</summary>
    public const double EqualDeg = 0.005;

    /// <summary>Tolerance of a mount's tilt, degrees, above 0. 0.1° stands in place of a published limit: common practice.</summary>
    public double ToleranceDeg { get; init; } = 0.1;

    /// <summary>Whether cautions give lengths in inches instead of millimetres.</summary>
    public bool Inch { get; init; }

    /// <summary>How far a bolt's stack may lie off the plane through all of them, mm. A shim of 0.1 mm under one of four bolts is 0.025 mm off.</summary>
    public double RockingLimitMm { get; init; } = 0.02;
}

/// <summary>The shims under one bolt.</summary>
/// <param name="Bolt">The bolt.</param>
/// <param name="StackMm">Thicknesses from the mount up, thickest first, mm; empty for none.</param>
public sealed record BoltShims(Bolt Bolt, IReadOnlyList<double> StackMm)
{
    /// <summary>Height of the stack, mm.</summary>
    public double HeightMm => StackMm.Sum();
}

/// <summary>Stacks for the bolts of one mount and what they leave.</summary>
/// <param name="Bolts">Every bolt of the pattern.</param>
/// <param name="SlopeAcross">Rise of the fitted plane to the right, mm per mm.</param>
/// <param name="SlopeAlong">Rise of the fitted plane outwards, mm per mm.</param>
/// <param name="ResidualAcrossDeg">Tilt left across the arm, degrees, signed as the tilt.</param>
/// <param name="ResidualAlongDeg">Tilt left along the arm, degrees, signed as the tilt.</param>
/// <param name="RockingMm">Largest distance of a stack from the plane through all, mm; 0 when they carry evenly.</param>
public sealed record ShimStacks(
    IReadOnlyList<BoltShims> Bolts, double SlopeAcross, double SlopeAlong, double ResidualAcrossDeg, double ResidualAlongDeg, double RockingMm)
{
    /// <summary>Size of the tilt left, degrees.</summary>
    public double ResidualDeg => Math.Sqrt(ResidualAcrossDeg * ResidualAcrossDeg + ResidualAlongDeg * ResidualAlongDeg);

    /// <summary>Pieces used.</summary>
    public int Pieces => Bolts.Sum(b => b.StackMm.Count);

    /// <summary>Highest stack, mm.</summary>
    public double HighestMm => Bolts.Max(b => b.HeightMm);
}

/// <summary>What to do at one motor, and why.</summary>
public sealed record MotorShims
{
    /// <summary>The motor.</summary>
    public required Motor Motor { get; init; }

    /// <summary>Its tilt as found; null when nothing was read.</summary>
    public required MotorTilt? Tilt { get; init; }

    /// <summary>Whether anything was read here yet.</summary>
    public bool IsRead { get; init; } = true;

    /// <summary>What to do.</summary>
    public required ShimAction Action { get; init; }

    /// <summary>Why, as one plain sentence with the numbers.</summary>
    public required string Why { get; init; }

    /// <summary>More readings at each place that would settle it, 1 or more; null where the action is clear or no number of readings would do.</summary>
    public int? MoreReadings { get; init; }

    /// <summary>The stacks; null when there is nothing to fit or no bolt pattern.</summary>
    public ShimStacks? Stacks { get; init; }

    /// <summary>The side that is raised most, as fitted; null when nothing is fitted.</summary>
    public LowSide? Side { get; init; }

    /// <summary>Rise over the bolts towards <see cref="Side"/>, mm; null when nothing is fitted.</summary>
    public double? ThicknessMm { get; init; }

    /// <summary>The tilt expected after the work; null when the tilt is not known.</summary>
    public MotorTilt? TiltAfter { get; init; }
}

/// <summary>A shim plan for the whole aircraft.</summary>
public sealed record ShimPlan
{
    /// <summary>The airframe.</summary>
    public required Airframe Airframe { get; init; }

    /// <summary>The survey it rests on.</summary>
    public required Survey Survey { get; init; }

    /// <summary>What the user set.</summary>
    public required ShimOptions Options { get; init; }

    /// <summary>The kit it was made from.</summary>
    public required ShimKit Kit { get; init; }

    /// <summary>One a motor of the airframe, in its order.</summary>
    public required IReadOnlyList<MotorShims> Motors { get; init; }

    /// <summary>What to expect from the next hover.</summary>
    public required HoverForecast Forecast { get; init; }

    /// <summary>What to look out for, in plain sentences, most important first.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }

    /// <summary>Pieces of each thickness that the plan takes, thinnest first.</summary>
    public IReadOnlyList<(double ThicknessMm, int Count)> Pieces =>
    [
        .. Motors.Where(m => m.Stacks is not null).SelectMany(m => m.Stacks!.Bolts).SelectMany(b => b.StackMm)
            .GroupBy(t => t).OrderBy(g => g.Key).Select(g => (g.Key, g.Count())),
    ];

    /// <summary>Makes a plan from a survey.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A tolerance or limit that is not above 0.</exception>
    public static ShimPlan Of(Airframe airframe, Survey survey, ShimOptions? options = null) =>
        new ShimPlanner(airframe, survey, options ?? new ShimOptions()).Plan();
}

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

    /// <summary>By how much that group's mean thrust changes, share of its thrust before; below 0 for less. Null when there is no such group.</summary>
    public double? CoolerGroupThrustChange { get; init; }
}
