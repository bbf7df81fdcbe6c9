using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Quality;

/// <summary>Samples of the IMU are missing or were not measured, and were filled from those around them.</summary>
/// <param name="Share">Share of the samples of the worst axis, 0 to 1.</param>
/// <param name="LossDb">By how much the lines may be too small for that, found by hiding and filling known samples, dB.</param>
public sealed record SamplesFilled(double Share, double LossDb) : Reason;

/// <summary>So many samples of the IMU are missing, or were not measured, that those left do not show the vibration.</summary>
/// <param name="Share">Share of the samples of the worst axis, 0 to 1.</param>
public sealed record SamplesMissing(double Share) : Reason;

/// <summary>So many rows of the IMU are out of order in time that it is not known when those left were taken.</summary>
/// <param name="Share">Share of the rows whose stamps step back, 0 to 1.</param>
public sealed record RowsOutOfOrder(double Share) : Reason;

/// <summary>Cells of the acceleration hold a number that stands in for a missing one.</summary>
/// <param name="FillerMps2">The number, as acceleration, m/s².</param>
/// <param name="Share">Share of the cells, 0 to 1.</param>
public sealed record FillersLeftOut(double FillerMps2, double Share) : Reason;

/// <summary>Single samples jump away from their neighbours and back.</summary>
/// <param name="Count">How many.</param>
public sealed record SpikesLeftOut(int Count) : Reason;

/// <summary>Samples repeat the one before: written again, not measured.</summary>
/// <param name="Share">Share of the samples, 0 to 1.</param>
public sealed record SamplesHeld(double Share) : Reason;

/// <summary>Rows lie on a straight line between their neighbours in all columns: drawn, not measured.</summary>
/// <param name="Share">Share of the rows, 0 to 1.</param>
public sealed record SamplesInterpolated(double Share) : Reason;

/// <summary>An axis of the accelerometer does not change.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="Seconds">For how long in all, s.</param>
public sealed record AxisFrozen(string Axis, double Seconds) : Reason;

/// <summary>An axis of the accelerometer holds no measurement in all of the flight.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
public sealed record AxisDead(string Axis) : Reason;

/// <summary>Two axes of the accelerometer hold the same numbers.</summary>
/// <param name="One">One axis.</param>
/// <param name="Other">The other.</param>
public sealed record AxesIdentical(string One, string Other) : Reason;

/// <summary>Samples stand at the end of the range that the log holds: the true values are larger.</summary>
/// <param name="Axis">The axis with most of them.</param>
/// <param name="Share">Share of its samples in flight, 0 to 1.</param>
/// <param name="LossDb">By how much the orders of all axes are too small for that, dB.</param>
public sealed record RangeExceeded(string Axis, double Share, double LossDb) : Reason;

/// <summary>Large values of an axis are pressed together: the sensor clips softly, or its range was cut.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="Excess">Fourth cumulant over the squared variance, as measured.</param>
/// <param name="Expected">The least that the lines in it allow.</param>
/// <param name="LossDb">By how much the orders of that axis are too small at least, dB.</param>
public sealed record PeaksFlattened(string Axis, double Excess, double Expected, double LossDb) : Reason;

/// <summary>In one of two flights the noise floor is higher over the whole band, by a power that matters beside the lines: samples are out
/// of place, or noise was added.</summary>
/// <param name="FloorDb">Change of the floor, least of the bands, dB.</param>
/// <param name="Share">Power of the added floor over that of the rotor orders.</param>
public sealed record FloorRaised(double FloorDb, double Share) : Reason;

/// <summary>One axis holds another share of the rotor orders in the two flights, in all orders alike.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="OrdersDb">Change of its share against the other axes, median over motors and orders, dB.</param>
public sealed record AxisLosesOrders(string Axis, double OrdersDb) : Reason;

/// <summary>The samples were taken at other times than their stamps say, each by its own error.</summary>
/// <param name="DeviationS">Standard deviation of the error, s.</param>
/// <param name="LossDb">What the rotor lines lost by it at least, dB.</param>
public sealed record SamplesTakenUnevenly(double DeviationS, double LossDb) : Reason;

/// <summary>The clock of the IMU jumped in flight: part of its record follows the reported speeds at another offset.</summary>
/// <param name="OffsetS">By how much that part is off, s.</param>
/// <param name="FromS">Where the part begins, s.</param>
public sealed record ClockJumps(double OffsetS, double FromS) : Reason;

/// <summary>An axis never changes faster than a limit that it often reaches: sensor or recorder cannot follow.</summary>
/// <param name="Axis">acc_x, acc_y or acc_z.</param>
/// <param name="StepMps2">The greatest step between two samples, m/s².</param>
/// <param name="Share">Share of the steps that have just this size, 0 to 1.</param>
public sealed record SlewLimited(string Axis, double StepMps2, double Share) : Reason;
