using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Surveys;

/// <summary>There is no mount reading in a direction.</summary>
/// <param name="Direction">Across or along the arm.</param>
public sealed record NoMountReading(TiltDirection Direction) : Reason;

/// <summary>There is no frame reading in a direction to compare the mount with.</summary>
/// <param name="Direction">Across or along the arm.</param>
public sealed record NoFrameReading(TiltDirection Direction) : Reason;

/// <summary>The frame was read one way only at the hub, and the arm needs both ways.</summary>
public sealed record FrameReadOneWay : Reason;

/// <summary>The gauge was not read turned by 180° as well, so its zero error is not known.</summary>
public sealed record GaugeNotTurned : Reason;

/// <summary>The tilt of a motor across its arm is not known.</summary>
/// <param name="Motor">The motor.</param>
public sealed record TiltAcrossUnknown(string Motor) : Reason;

/// <summary>A motor has no gauge reading.</summary>
/// <param name="When">As found or as left.</param>
public sealed record NoGaugeReading(SurveyTime When) : Reason;

/// <summary>As left there is no frame reading; the one as found is used.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="Direction">Across or along the arm.</param>
public sealed record FrameAsFoundUsed(string Motor, TiltDirection Direction) : Reason;

/// <summary>Shims that were noted as fitted do not explain the tilt that was read after them.</summary>
/// <param name="Motor">The motor.</param>
/// <param name="AsNoted">The shims, as the surveyor wrote them down.</param>
/// <param name="Direction">Across or along the arm.</param>
/// <param name="ExpectedDeg">Tilt that they should leave, degrees, signed.</param>
/// <param name="ReadDeg">Tilt that was read, degrees, signed.</param>
public sealed record ShimsDoNotExplainTilt(string Motor, string AsNoted, TiltDirection Direction, double ExpectedDeg, double ReadDeg)
    : Reason;

/// <summary>Nothing was read twice, so how well readings repeat is not known.</summary>
/// <param name="RepeatabilityDeg">Repeatability that is used, degrees.</param>
/// <param name="IsGiven">Whether it was stated; otherwise the usual one.</param>
public sealed record NothingReadTwice(double RepeatabilityDeg, bool IsGiven) : Reason;

/// <summary>The frame was read once at the hub, so the gauge's zero error does not drop out.</summary>
/// <param name="AccuracyDeg">Largest zero error that is allowed for, degrees.</param>
public sealed record FrameReadOnceAtHub(double AccuracyDeg) : Reason;

/// <summary>The gauge's zero error is larger than its accuracy.</summary>
/// <param name="ZeroErrorDeg">Zero error, degrees.</param>
/// <param name="AccuracyDeg">Accuracy, degrees.</param>
public sealed record ZeroErrorTooLarge(double ZeroErrorDeg, double AccuracyDeg) : Reason;
