using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>The mean acceleration in hover is not gravity: unit or scale of the accelerometer is wrong.</summary>
/// <param name="MeanMps2">Size of the mean acceleration, m/s².</param>
public sealed record GravityOff(double MeanMps2) : Reason;

/// <summary>The measured gravity changes within the hover: the gain of the accelerometer drifts.</summary>
/// <param name="LeastMps2">Least reading of a part of the hover, m/s².</param>
/// <param name="MostMps2">Greatest, m/s².</param>
public sealed record GravityDrifts(double LeastMps2, double MostMps2) : Reason;

/// <summary>The measured gravity differs between the two flights: the scale of the accelerometer changed between them.</summary>
/// <param name="BeforeMps2">Before, m/s².</param>
/// <param name="AfterMps2">After, m/s².</param>
public sealed record GravityDiffers(double BeforeMps2, double AfterMps2) : Reason;

/// <summary>The lines of the rotors are at other frequencies than the reported speeds: the clock or the speeds are wrong.</summary>
/// <param name="Ratio">Frequency of the lines divided by the reported frequency.</param>
public sealed record LinesOffSpeeds(double Ratio) : Reason;

/// <summary>The vibration around the rotors' frequencies does not follow the reported speeds.</summary>
/// <param name="FollowingShare">Share of the power there that follows them, 0 to 1.</param>
public sealed record LinesDoNotFollow(double FollowingShare) : Reason;

/// <summary>The phase of the rotor lines is discontinuous: only part of their power can be followed.</summary>
/// <param name="FollowingShare">Share of the power at the lines that the fit follows, 0 to 1.</param>
public sealed record PhaseBroken(double FollowingShare) : Reason;

/// <summary>The fit of the orders holds more power than the spectrum has at their lines: close rotors were separated wrongly.</summary>
/// <param name="Share">Power of the fit over power of the spectrum at the lines, above 1.</param>
public sealed record OrdersExceedSpectrum(double Share) : Reason;

/// <summary>The noise floors of the two flights diverge towards high frequencies: the recorder filtered differently.</summary>
/// <param name="TopDb">Change of the floor near half the sample rate, dB.</param>
/// <param name="MiddleDb">Change in the middle of the band, dB.</param>
/// <param name="AtOrdersDb">Change at the frequencies of the orders that carry the vibration, dB.</param>
public sealed record RecorderFilterDiffers(double TopDb, double MiddleDb, double AtOrdersDb) : Reason;

/// <summary>The noise floor has a notch in one flight and not in the other.</summary>
/// <param name="Hz">Centre, Hz.</param>
/// <param name="DepthDb">Depth against the floor beside it, dB.</param>
public sealed record NotchDiffers(double Hz, double DepthDb) : Reason;

/// <summary>One axis changed its scale against the others between the flights.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="FloorDb">Change of its floor against that of the other axes, dB.</param>
/// <param name="OrdersDb">Change of its share of the orders, median over motors and orders, dB.</param>
public sealed record AxisScaleDiffers(string Axis, double FloorDb, double OrdersDb) : Reason;

/// <summary>The orders changed by more than the change of the total acceleration allows.</summary>
/// <param name="OrdersDb">Change of all rotor orders, dB.</param>
/// <param name="LevelDb">Change of the level of acceleration, dB.</param>
/// <param name="ExpectedLevelDb">Change of the level that follows from the change of the orders, dB.</param>
public sealed record ChangeUnsupported(double OrdersDb, double LevelDb, double ExpectedLevelDb) : Reason;

/// <summary>Acceleration and rates show different changes of the same orders: one of the two sensors changed.</summary>
/// <param name="DifferenceDb">Change of the orders on the acceleration minus their change on the rates, weighted median, dB.</param>
/// <param name="Lines">Number of orders of motors that are detected on both.</param>
public sealed record RatesDisagree(double DifferenceDb, int Lines) : Reason;

/// <summary>The ratio of acceleration to rates changes within one hover: the gain of a sensor changed in flight.</summary>
/// <param name="DifferenceDb">Greatest change between pieces of the hover, dB.</param>
/// <param name="Lines">Number of orders of motors that are detected on both.</param>
public sealed record SensorGainChanges(double DifferenceDb, int Lines) : Reason;

/// <summary>One axis is at times weaker or stronger than the other two, at all frequencies alike: a loose contact, or a gain that
/// changes.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="GainDb">Its gain at those times relative to the others, dB.</param>
/// <param name="Share">Share of the hover, 0 to 1.</param>
public sealed record AxisGainChanges(string Axis, double GainDb, double Share) : Reason;

/// <summary>No order of one motor stands out at the speed that its ESC reports, while the other motors are clearly detected.</summary>
/// <param name="MotorId">The motor.</param>
/// <param name="OverFloor">Power of its strongest order over the floor.</param>
/// <param name="OthersOverFloor">The same of the other motors, median.</param>
public sealed record RotorNotDetected(string MotorId, double OverFloor, double OthersOverFloor) : Reason;

/// <summary>The noise floor bends within one hover: the recorder's filter or its rate changed in flight.</summary>
/// <param name="TopDb">Change of the floor near half the sample rate, dB.</param>
/// <param name="MiddleDb">Change in the middle of the band, dB.</param>
public sealed record FloorChanges(double TopDb, double MiddleDb) : Reason;

/// <summary>The pieces of one hover disagree about the vibration of the rotors: no single level is valid for all of it.</summary>
/// <param name="LeastMps2">Least root mean square of a piece, m/s².</param>
/// <param name="MostMps2">Greatest, m/s².</param>
public sealed record PiecesDisagree(double LeastMps2, double MostMps2) : Reason;

/// <summary>All orders and the noise floor change alike through one hover: the gain of the accelerometer drifts.</summary>
/// <param name="OrdersDb">Change of the orders from the first quarter of the hover to the last, median, dB.</param>
/// <param name="FloorDb">The same of the noise floor, dB.</param>
/// <param name="Lines">Number of orders of motors that are detected.</param>
public sealed record VibrationGainDrifts(double OrdersDb, double FloorDb, int Lines) : Reason;

/// <summary>The noise floor of only one axis changed, by more than any work on the mounts can cause.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="FloorDb">Change of its floor against that of the other axes, dB.</param>
public sealed record AxisFloorDiffers(string Axis, double FloorDb) : Reason;

/// <summary>The two flights were logged at different rates: averaging in the slower logger may have attenuated the orders.</summary>
/// <param name="BeforeHz">Sample rate before, Hz.</param>
/// <param name="AfterHz">Sample rate after, Hz.</param>
/// <param name="LossDb">Attenuation of the orders by a mean over one sample interval of the slower logger, dB.</param>
public sealed record SampleRatesDiffer(double BeforeHz, double AfterHz, double LossDb) : Reason;

/// <summary>An order lies above half the sample rate of one flight's log and below that of the other's.</summary>
/// <param name="Hz">The order's frequency, Hz.</param>
/// <param name="RateHz">The lower sample rate, Hz.</param>
public sealed record FoldedInOneFlight(double Hz, double RateHz) : Reason;
