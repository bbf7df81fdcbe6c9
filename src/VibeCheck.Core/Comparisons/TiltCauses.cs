using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>There is no survey.</summary>
public sealed record NoSurvey : Reason;

/// <summary>No gauge reading was taken as found.</summary>
public sealed record NothingReadAsFound : Reason;

/// <summary>No gauge reading was taken as left.</summary>
public sealed record NothingReadAsLeft : Reason;

/// <summary>The speed split is not known.</summary>
public sealed record SplitUnknown : Reason;

/// <summary>Tilts and order 1 are known on both sides for too few motors.</summary>
/// <param name="Motors">Number of motors.</param>
/// <param name="Needed">Number needed.</param>
public sealed record TooFewTiltsKnown(int Motors, int Needed) : Reason;

/// <summary>The tilts of all motors changed by nearly the same.</summary>
public sealed record TiltsChangedAlike : Reason;

/// <summary>The effect of tilt on order 1 is not significant.</summary>
/// <param name="RankCorrelation">Kendall's tau between change of tilt and change of order 1.</param>
/// <param name="PValue">Its p value.</param>
public sealed record TiltEffectNotShown(double RankCorrelation, double PValue) : Reason;

/// <summary>The tilt of a motor decreased, but its order 1 did not.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="TakenOutDeg">Tilt removed, degrees.</param>
/// <param name="ChangeDb">Change of order 1, dB.</param>
/// <param name="Ci95Db">Its 95 % interval, dB.</param>
public sealed record TiltReducedVibrationNot(string Motor, double TakenOutDeg, double ChangeDb, Interval Ci95Db) : Reason;
