using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>No gauge reading was taken at the motor.</summary>
public sealed record NothingReadHere : Reason;

/// <summary>The tilt of the motor is not known in either direction.</summary>
/// <param name="Across">Why not across the arm.</param>
/// <param name="Along">Why not along the arm.</param>
public sealed record TiltUnknown(Reason? Across, Reason? Along) : Reason;

/// <summary>The tilt is out of tolerance.</summary>
/// <param name="TiltDeg">Tilt, degrees.</param>
/// <param name="U95Deg">Its 95 % uncertainty, degrees.</param>
/// <param name="ToleranceDeg">Tolerance, degrees.</param>
public sealed record TiltOutOfTolerance(double TiltDeg, double U95Deg, double ToleranceDeg) : Reason;

/// <summary>The tilt is within tolerance.</summary>
/// <param name="TiltDeg">Tilt, degrees.</param>
/// <param name="U95Deg">Its 95 % uncertainty, degrees.</param>
/// <param name="ToleranceDeg">Tolerance, degrees.</param>
public sealed record TiltWithinTolerance(double TiltDeg, double U95Deg, double ToleranceDeg) : Reason;

/// <summary>The tilt may lie on either side of the tolerance, but so near to it that a shim would change little.</summary>
/// <param name="TiltDeg">Tilt, degrees.</param>
/// <param name="U95Deg">Its 95 % uncertainty, degrees.</param>
/// <param name="ToleranceDeg">Tolerance, degrees.</param>
public sealed record TiltNearTolerance(double TiltDeg, double U95Deg, double ToleranceDeg) : Reason;

/// <summary>What would settle on which side of the tolerance a tilt lies.</summary>
public enum SettlingStep
{
    /// <summary>Read each place again: nothing was read twice.</summary>
    ReadAgain,

    /// <summary>More readings at each place.</summary>
    MoreReadings,

    /// <summary>A gauge of finer steps.</summary>
    FinerGauge,
}

/// <summary>The tilt may lie on either side of the tolerance.</summary>
/// <param name="TiltDeg">Tilt, degrees.</param>
/// <param name="U95Deg">Its 95 % uncertainty, degrees.</param>
/// <param name="ToleranceDeg">Tolerance, degrees.</param>
/// <param name="Step">What would settle it.</param>
/// <param name="MoreReadings">Readings at each place that would settle it; null where none do.</param>
public sealed record TiltNotSettled(double TiltDeg, double U95Deg, double ToleranceDeg, SettlingStep Step, int? MoreReadings) : Reason;

/// <summary>The tilt is out of tolerance, but no stack from the kit makes it better.</summary>
/// <param name="Cause">What the tilt is.</param>
public sealed record NoStackHelps(Reason Cause) : Reason;

/// <summary>The airframe file gives no bolts.</summary>
public sealed record BoltsNotGiven : Reason;

/// <summary>Two bolts in one line can twist.</summary>
public sealed record BoltsInOneLine : Reason;

/// <summary>The airframe file lists no shims; usual ones were taken.</summary>
/// <param name="ThicknessesMm">Their thicknesses, mm.</param>
/// <param name="InInch">Whether lengths are shown in inches.</param>
/// <param name="MostPerBolt">How many may lie under one bolt.</param>
public sealed record ShimKitAssumed(IReadOnlyList<double> ThicknessesMm, bool InInch, int MostPerBolt) : Reason;

/// <summary>The airframe file gives no torque per thrust; the usual one was taken.</summary>
/// <param name="TakenM">What was taken, m.</param>
/// <param name="BoundM">Bound of it, ± m.</param>
public sealed record TorquePerThrustAssumed(double TakenM, double BoundM) : Reason;

/// <summary>Something to look out for at a motor.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Cause">What.</param>
public sealed record MotorCaution(string Motor, Reason Cause) : Reason;

/// <summary>The tilt in one direction was not read at some motors.</summary>
/// <param name="Direction">Which direction.</param>
/// <param name="Motors">At which motors.</param>
public sealed record DirectionNotRead(TiltDirection Direction, IReadOnlyList<string> Motors) : Reason;

/// <summary>The best stack of the kit leaves a tilt out of tolerance.</summary>
/// <param name="ResidualDeg">What it leaves, degrees.</param>
public sealed record KitLeavesTilt(double ResidualDeg) : Reason;

/// <summary>The stacks do not lie in one plane.</summary>
/// <param name="RockingMm">How far off, mm.</param>
/// <param name="InInch">Whether lengths are shown in inches.</param>
public sealed record StacksRock(double RockingMm, bool InInch) : Reason;

/// <summary>With shims the screws engage too few threads.</summary>
/// <param name="ShimsMm">Highest stack, mm.</param>
/// <param name="EngagementMm">Thread that is left in the motor, mm.</param>
/// <param name="BareMm">Thread in the motor without shims, mm.</param>
/// <param name="DiameterMm">Diameter of the screws, mm.</param>
/// <param name="WantedMm">Thread that is wanted, mm.</param>
/// <param name="InInch">Whether lengths are shown in inches.</param>
public sealed record ScrewsTooShort(double ShimsMm, double EngagementMm, double BareMm, double DiameterMm, double WantedMm, bool InInch)
    : Reason;

/// <summary>Without shims the screws reach past the thread of the motor.</summary>
/// <param name="BareMm">How far they reach into the motor, mm.</param>
/// <param name="DepthMm">Depth of the thread, mm.</param>
/// <param name="InInch">Whether lengths are shown in inches.</param>
public sealed record ScrewsTooLong(double BareMm, double DepthMm, bool InInch) : Reason;

/// <summary>A mount moved, or showed no move, between two sets of readings.</summary>
/// <param name="Movement">The move.</param>
public sealed record MountMoved(MountMovement Movement) : Reason;
