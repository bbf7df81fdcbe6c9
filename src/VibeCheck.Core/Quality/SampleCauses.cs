using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>Samples of the IMU are missing or were not measured, and were filled from those around them.</summary>
/// <param name="Share">Share of the samples of the worst axis, 0 to 1.</param>
/// <param name="LossDb">How much too small the lines may be because of it, found by hiding and filling known samples, dB.</param>
public sealed record SamplesFilled(double Share, double LossDb) : Reason;

/// <summary>So many samples of the IMU are missing, or were not measured, that the remaining ones do not show the vibration.</summary>
/// <param name="Share">Share of the samples of the worst axis, 0 to 1.</param>
public sealed record SamplesMissing(double Share) : Reason;

/// <summary>So many rows of the IMU are out of order that the times of the remaining ones are not known.</summary>
/// <param name="Share">Share of the rows whose time stamps step back, 0 to 1.</param>
public sealed record RowsOutOfOrder(double Share) : Reason;

/// <summary>Cells of the acceleration hold a number that replaces a missing one.</summary>
/// <param name="FillerMps2">The number, as acceleration, m/s².</param>
/// <param name="Share">Share of the cells, 0 to 1.</param>
public sealed record FillersLeftOut(double FillerMps2, double Share) : Reason;

/// <summary>Single samples jump away from their neighbours and back.</summary>
/// <param name="Count">Number of samples.</param>
/// <param name="Seconds">Length of the log, s.</param>
public sealed record SpikesLeftOut(int Count, double Seconds) : Reason;

/// <summary>Samples repeat the previous one: written again, not measured.</summary>
/// <param name="Share">Share of the samples, 0 to 1.</param>
public sealed record SamplesHeld(double Share) : Reason;

/// <summary>Rows are on a straight line between their neighbours in all columns: interpolated, not measured.</summary>
/// <param name="Share">Share of the rows, 0 to 1.</param>
public sealed record SamplesInterpolated(double Share) : Reason;

/// <summary>An axis of the accelerometer does not change.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="Seconds">Total time, s.</param>
public sealed record AxisFrozen(string Axis, double Seconds) : Reason;

/// <summary>An axis of the accelerometer holds no measurement in the whole flight.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
public sealed record AxisDead(string Axis) : Reason;

/// <summary>Two axes of the accelerometer hold the same numbers.</summary>
/// <param name="One">One axis.</param>
/// <param name="Other">The other.</param>
public sealed record AxesIdentical(string One, string Other) : Reason;

/// <summary>Samples are at the end of the logged range: the true values are larger.</summary>
/// <param name="Axis">The axis with most of them.</param>
/// <param name="Share">Share of its samples in flight, 0 to 1.</param>
/// <param name="LossDb">How much too small the orders of all axes are because of it, dB.</param>
public sealed record RangeExceeded(string Axis, double Share, double LossDb) : Reason;

/// <summary>Large values of an axis are compressed: the sensor clips softly, or its range was limited.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="Excess">Fourth cumulant over the squared variance, as measured.</param>
/// <param name="Expected">The least value that the lines in it allow.</param>
/// <param name="LossDb">How much too small the orders of that axis are, at least, dB.</param>
public sealed record PeaksFlattened(string Axis, double Excess, double Expected, double LossDb) : Reason;

/// <summary>An axis of the accelerometer follows a rate of turn sample by sample: it holds that rate, in whatever unit.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="Rate">rate_x, rate_y or rate_z.</param>
public sealed record RateInAcceleration(string Axis, string Rate) : Reason;

/// <summary>Every line has an image of equal strength at half the sample rate minus its frequency: the rows of two records
/// alternate.</summary>
/// <param name="DifferenceDb">Difference between the loudest frequencies and their images, median, dB.</param>
public sealed record RowsAlternate(double DifferenceDb) : Reason;

/// <summary>In one of two flights the noise floor is higher over the whole band, by a power that matters relative to the lines: samples are
/// out of place, or noise was added.</summary>
/// <param name="FloorDb">Change of the floor, smallest of the bands, dB.</param>
/// <param name="Share">Power of the added floor relative to that of the rotor orders.</param>
public sealed record FloorRaised(double FloorDb, double Share) : Reason;

/// <summary>The share of one axis in the rotor orders differs between the two flights, in all orders alike.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="OrdersDb">Change of its share relative to the other axes, median over motors and orders, dB.</param>
public sealed record AxisLosesOrders(string Axis, double OrdersDb) : Reason;

/// <summary>The samples were taken at other times than their time stamps, each with its own error.</summary>
/// <param name="DeviationS">Standard deviation of the error, s.</param>
/// <param name="LossDb">Loss of the rotor lines caused by it, at least, dB.</param>
public sealed record SamplesTakenUnevenly(double DeviationS, double LossDb) : Reason;

/// <summary>The clock of the IMU jumped in flight: part of its record follows the reported speeds with another offset.</summary>
/// <param name="OffsetS">Offset of that part, s.</param>
/// <param name="FromS">Start of that part, s.</param>
public sealed record ClockJumps(double OffsetS, double FromS) : Reason;

/// <summary>An axis was written in steps that are coarser than the vibration in it.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="StepMps2">The step, m/s².</param>
/// <param name="DeviationMps2">Standard deviation of the axis in the hover, m/s².</param>
public sealed record AccelerationStepsCoarse(string Axis, double StepMps2, double DeviationMps2) : Reason;

/// <summary>An axis never changes faster than a limit that it often reaches: the sensor or recorder cannot follow.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="StepMps2">The greatest step between two samples, m/s².</param>
/// <param name="Share">Share of the steps that have exactly this size, 0 to 1.</param>
public sealed record SlewLimited(string Axis, double StepMps2, double Share) : Reason;
