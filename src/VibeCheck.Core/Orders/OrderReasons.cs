using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders;

/// <summary>The hover has no segment that is long enough without a gap in the acceleration.</summary>
/// <param name="LeastS">Length needed, s.</param>
public sealed record HoverWithoutSegment(double LeastS) : Reason;

/// <summary>The motor was stopped during the hover.</summary>
public sealed record MotorStoodStill : Reason;

/// <summary>There are no speed readings over the hover.</summary>
public sealed record SpeedReadingsMissing : Reason;

/// <summary>Speed readings cover too little of the hover.</summary>
/// <param name="CoveredShare">Share covered, 0 to 1.</param>
public sealed record SpeedReadingsSparse(double CoveredShare) : Reason;

/// <summary>The order lies so far above the sample rate that any logger's filter removes it.</summary>
/// <param name="Hz">Its frequency, Hz.</param>
/// <param name="RateHz">Sample rate, Hz.</param>
public sealed record OrderAboveSampleRate(double Hz, double RateHz) : Reason;

/// <summary>The order folds onto zero or half the sample rate.</summary>
/// <param name="Hz">Its frequency, Hz.</param>
/// <param name="RateHz">Sample rate, Hz.</param>
public sealed record OrderAtFold(double Hz, double RateHz) : Reason;

/// <summary>None of the requested orders can be measured at this sample rate.</summary>
public sealed record NoMeasurableOrder : Reason;

/// <summary>No rotor was given.</summary>
public sealed record NoRotors : Reason;

/// <summary>The order could not be distinguished from that of motors that turn at nearly the same speed.</summary>
public sealed record OrderNotSeparable : Reason;

/// <summary>The phase of the order could not be tracked closely enough.</summary>
public sealed record PhaseNotTracked : Reason;

/// <summary>A group of orders does not stand out of the noise.</summary>
public sealed record GroupInNoise : Reason;

/// <summary>Orders that could not be separated beat so slowly that the flight does not tell
/// how much of their size is interference.</summary>
public sealed record BeatTooSlow : Reason;

/// <summary>The order was not measured axis by axis.</summary>
public sealed record PerAxisNotMeasured : Reason;
