using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders;

/// <summary>What every rotor does to the airframe over the hover time given.</summary>
public sealed record OrderResult
{
    /// <summary>One for each requested rotor, in the given order.</summary>
    public required IReadOnlyList<RotorOrders> Motors { get; init; }

    /// <summary>Root of the summed squares of all orders of all motors that could be measured, m/s²; groups that could not be
    /// parted count once.</summary>
    public required Estimate RotorVibrationMps2 { get; init; }

    /// <summary>Hover time that the fit could use, s: inside the clock's blocks and long enough for a window.</summary>
    public required double SecondsUsed { get; init; }
}

/// <summary>The orders of one rotor.</summary>
public sealed record RotorOrders
{
    /// <summary>The motor.</summary>
    public required string MotorId { get; init; }

    /// <summary>One an order, rising.</summary>
    public required IReadOnlyList<OrderLevel> Orders { get; init; }

    /// <summary>Mean speed over the hover, rpm, as the vibration's phase corrects the reported one.</summary>
    public required Estimate RpmMean { get; init; }

    /// <summary>Delay of the reported speed relative to the vibration, s; null when speeds varied too little to determine it.</summary>
    public double? SpeedLagS { get; init; }
}
