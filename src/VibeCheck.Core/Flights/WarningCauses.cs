using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>The hover used is short, so intervals are wide.</summary>
/// <param name="SecondsUsed">Its length, s.</param>
public sealed record ShortHover(double SecondsUsed) : Reason;

/// <summary>No airframe file was given.</summary>
/// <param name="MotorsInLog">Number of motors in the log.</param>
public sealed record AirframeNotGiven(int MotorsInLog) : Reason;

/// <summary>Speeds that the log lacks were found from lines in the vibration.</summary>
/// <param name="Motors">Motors whose speed was found.</param>
/// <param name="WidestRpm">Widest half width of their 95 % intervals, rpm.</param>
/// <param name="NotFound">Motors whose speed could not be found.</param>
/// <param name="SharesRestOnThem">Whether load shares and yaw trim are also calculated from them.</param>
public sealed record SpeedsFromVibration(
    IReadOnlyList<string> Motors,
    double WidestRpm,
    IReadOnlyList<string> NotFound,
    bool SharesRestOnThem
) : Reason;

/// <summary>Some motors have no usable speed in the log.</summary>
/// <param name="Motors">Those motors.</param>
public sealed record SpeedsMissing(IReadOnlyList<string> Motors) : Reason;

/// <summary>Yaw trim and load shares are from motor commands.</summary>
public sealed record TrimFromCommands : Reason;

/// <summary>Ambient was derived from the cold start.</summary>
/// <param name="AmbientC">Ambient temperature, °C.</param>
public sealed record AmbientFromColdStart(double AmbientC) : Reason;

/// <summary>Most rotor frequencies are above half the sample rate.</summary>
/// <param name="RateHz">Sample rate, Hz.</param>
public sealed record MostOrdersAboveHalfRate(double RateHz) : Reason;

/// <summary>Orders are above half the sample rate and appear folded.</summary>
/// <param name="Orders">Those orders.</param>
public sealed record OrdersFolded(IReadOnlyList<int> Orders) : Reason;

/// <summary>Motors turn at nearly the same speed and cannot be separated at some orders.</summary>
/// <param name="Motors">Those motors.</param>
public sealed record MotorsMerged(IReadOnlyList<string> Motors) : Reason;

/// <summary>Orders were measured on parts of the hover.</summary>
/// <param name="PartsS">Length of the parts together, s.</param>
/// <param name="HoverS">Length of the hover, s.</param>
public sealed record OrdersFromParts(double PartsS, double HoverS) : Reason;

/// <summary>Samples reach the limit of the sensor's range.</summary>
/// <param name="Count">Number of samples.</param>
public sealed record SamplesClipped(int Count) : Reason;

/// <summary>Samples of the IMU are not numbers.</summary>
/// <param name="Count">Number of samples.</param>
public sealed record SamplesNotNumbers(int Count) : Reason;
