using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Airframes;

/// <summary>All motors of the airframe turn the same way, so there is no split between two groups.</summary>
public sealed record AllMotorsSpinAlike : Reason;

/// <summary>The motors of the airframe cannot balance weight, roll, pitch and yaw all at once.</summary>
public sealed record BalanceImpossible : Reason;

/// <summary>The tilts would ask a motor for less than no thrust.</summary>
public sealed record TiltBeyondThrust : Reason;

/// <summary>The airframe file gives no mass.</summary>
public sealed record MassNotGiven : Reason;
