using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Orders;

/// <summary>What every rotor does to the airframe over the hover time given.</summary>
public sealed record OrderResult
{
    /// <summary>One a rotor that was asked for, in the order given.</summary>
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

    /// <summary>How far the reported speed comes late against the vibration, s; null when speeds moved too little to tell.</summary>
    public double? SpeedLagS { get; init; }
}
