using VibeCheck.Core.Airframes;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

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

    /// <summary>Why, with the numbers.</summary>
    public required Reason Why { get; init; }

    /// <summary>Whether it is settled that the tilt is in tolerance or that shims will bring it there.</summary>
    public bool IsSettled => Action != ShimAction.MeasureAgain && Why is not (TiltNearTolerance or NoStackHelps);

    /// <summary>More readings at each place that would settle it, 1 or more; null where the action
    /// is clear or no number of readings would do.</summary>
    public int? MoreReadings { get; init; }

    /// <summary>The stacks; null when there is nothing to fit or no bolt pattern.</summary>
    public ShimStacks? Stacks { get; init; }

    /// <summary>The side that is raised most, as fitted; null when nothing is fitted.</summary>
    public LowSide? Side { get; init; }

    /// <summary>Rise over the bolts towards <see cref="Side"/>, mm; null when nothing is fitted.</summary>
    public double? ThicknessMm { get; init; }

    /// <summary>Whether every bolt on <see cref="Side"/> is raised by <see cref="ThicknessMm"/> and no other bolt at all. Where not, side and
    /// thickness alone do not say what lies under the bolts.</summary>
    public bool IsOneSided =>
        Side is LowSide side
        && ThicknessMm is double riseMm
        && Stacks?.Bolts.All(b => Math.Abs(b.HeightMm - (IsOn(b.Bolt, side) ? riseMm : 0)) < SameMm) == true;

    // Far below any shim and any distance of bolts.
    private const double SameMm = 1e-6;

    private static bool IsOn(Bolt bolt, LowSide side) =>
        side switch
        {
            LowSide.Right => bolt.AcrossMm > SameMm,
            LowSide.Left => bolt.AcrossMm < -SameMm,
            LowSide.Out => bolt.AlongMm > SameMm,
            LowSide.In => bolt.AlongMm < -SameMm,
            _ => false,
        };

    /// <summary>The tilt expected after the work; null when the tilt is not known.</summary>
    public MotorTilt? TiltAfter { get; init; }
}
