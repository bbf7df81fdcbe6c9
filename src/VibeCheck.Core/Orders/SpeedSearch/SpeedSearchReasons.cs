using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders.SpeedSearch;

/// <summary>The sample rate shows only one order of the rotors.</summary>
/// <param name="RotorHz">How fast they turn, Hz.</param>
/// <param name="RateHz">Sample rate, Hz.</param>
public sealed record OneOrderOnly(double RotorHz, double RateHz) : Reason;

/// <summary>The log is too slow to show two orders of any rotor.</summary>
public sealed record LoggerTooSlowForRotors : Reason;

/// <summary>The hover is too short to follow lines in it.</summary>
public sealed record HoverTooShortForLines : Reason;

/// <summary>The vibration has no lines at two orders of one speed.</summary>
public sealed record NoLineAtTwoOrders : Reason;

/// <summary>No lines stand in the vibration at one frequency and its multiples.</summary>
public sealed record NoHarmonicLines : Reason;

/// <summary>The lines may be those of blades alone, and the rotors slower than they seem.</summary>
public sealed record BladeLinesOnly : Reason;

/// <summary>The lines fit more than one rotor speed, one a multiple of the other.</summary>
public sealed record RotorSpeedAmbiguous : Reason;

/// <summary>More lines are seen than there are motors to make them.</summary>
public sealed record MoreLinesThanMotors : Reason;

/// <summary>Without commands the lines cannot be given to motors.</summary>
public sealed record LinesNotNamed : Reason;

/// <summary>A motor's command does not separate its lines clearly from those of other motors.</summary>
public sealed record CommandNotDistinct : Reason;

/// <summary>A motor turns at nearly the same speed as others and cannot be separated from them in the vibration.</summary>
/// <param name="Motors">Ids of the others.</param>
public sealed record LineShared(IReadOnlyList<string> Motors) : Reason;
