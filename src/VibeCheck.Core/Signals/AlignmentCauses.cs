using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Signals;

/// <summary>No rotor speed is logged, so two recorders cannot be lined up by the vibration.</summary>
public sealed record NoSpeedToAlignBy : Reason;

/// <summary>The IMU is logged too slowly to see the rotors, so two recorders cannot be lined up by them.</summary>
/// <param name="RateHz">Sample rate, Hz.</param>
public sealed record ImuTooSlowToAlign(double RateHz) : Reason;

/// <summary>The vibration follows other speeds than those reported, whatever the offset.</summary>
/// <param name="Likeness">Mean likeness of the vibration to what the speeds predict, 0 to 1.</param>
/// <param name="Parts">Parts of the flight that were compared.</param>
/// <param name="NeededLikeness">Likeness that settles an offset.</param>
/// <param name="NeededParts">Parts that settle an offset.</param>
public sealed record VibrationFollowsOtherSpeeds(double Likeness, int Parts, double NeededLikeness, int NeededParts) : Reason;

/// <summary>The speeds vary too little, or the vibration shows them too weakly, to find the offset.</summary>
/// <param name="Likeness">Mean likeness of the vibration to what the speeds predict, 0 to 1.</param>
/// <param name="Parts">Parts of the flight that were compared.</param>
/// <param name="NeededLikeness">Likeness that settles an offset.</param>
/// <param name="NeededParts">Parts that settle an offset.</param>
public sealed record OffsetNotShown(double Likeness, int Parts, double NeededLikeness, int NeededParts) : Reason;

/// <summary>The offset is likely, though the vibration shows it less clearly than one that settles it. The orders show whether it is
/// right: with a wrong one they hold only part of the power at the rotors' frequencies.</summary>
/// <param name="Likeness">Mean likeness of the vibration to what the speeds predict, 0 to 1.</param>
/// <param name="Parts">Parts of the flight that were compared.</param>
/// <param name="NeededLikeness">Likeness that settles an offset.</param>
/// <param name="NeededParts">Parts that settle an offset.</param>
public sealed record OffsetLikely(double Likeness, int Parts, double NeededLikeness, int NeededParts) : Reason;

/// <summary>The flight is too short, or the speeds vary too little, to show a drift between two recorders' clocks.</summary>
public sealed record DriftNotShown : Reason;

/// <summary>The user gave the offset between the clocks.</summary>
public sealed record OffsetGiven : Reason;

/// <summary>The clocks were taken to count from the same moment, because the offset could not be found.</summary>
/// <param name="Cause">Why it could not be found.</param>
public sealed record ClocksTakenToAgree(Reason Cause) : Reason;
