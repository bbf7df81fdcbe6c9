using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders.Group;

/// <summary>No lines stand in the vibration at one frequency and its multiples.</summary>
public sealed record NoRotorLines : Reason;

/// <summary>The lines fit two rotor speeds, and the vibration does not show which is right.</summary>
/// <param name="SlowerRpm">The slower, rpm.</param>
/// <param name="FasterRpm">The faster, rpm.</param>
public sealed record GroupSpeedAmbiguous(double SlowerRpm, double FasterRpm) : Reason;

/// <summary>The sample rate is too low to show rotors.</summary>
/// <param name="RateHz">Samples a second.</param>
public sealed record TooSlowForRotors(double RateHz) : Reason;

/// <summary>The hover has no interval without a gap that is long enough.</summary>
public sealed record HoverTooBroken : Reason;

/// <summary>The order lies above what the log shows.</summary>
/// <param name="Hz">Its frequency, Hz.</param>
/// <param name="TopHz">Highest frequency that is used, Hz.</param>
public sealed record OrderAboveLog(double Hz, double TopHz) : Reason;

/// <summary>The rotors' lines do not are clear of the noise about them.</summary>
public sealed record RotorsInNoise : Reason;
