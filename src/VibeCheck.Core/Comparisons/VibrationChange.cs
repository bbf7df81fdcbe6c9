using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Change of one order of one motor.</summary>
public sealed record OrderChange
{
    /// <summary>Cycles per revolution.</summary>
    public required int Order { get; init; }

    /// <summary>Before, m/s².</summary>
    public required Estimate BeforeMps2 { get; init; }

    /// <summary>After, m/s².</summary>
    public required Estimate AfterMps2 { get; init; }

    /// <summary>Change, dB.</summary>
    public required Estimate ChangeDb { get; init; }

    /// <summary>The call; the error rate applies to all orders of all motors together.</summary>
    public required CallKind Call { get; init; }
}

/// <summary>Change of one part of the total vibration.</summary>
/// <param name="Kind">The part.</param>
/// <param name="BeforeMps2">Before, m/s².</param>
/// <param name="AfterMps2">After, m/s².</param>
/// <param name="ChangeDb">Change, dB.</param>
/// <param name="Call">The call; a change with almost no effect on the whole is not called.</param>
public sealed record PartChange(VibrationPartKind Kind, Estimate BeforeMps2, Estimate AfterMps2, Estimate ChangeDb, CallKind Call);

/// <summary>A broadband level before and after.</summary>
public sealed record LevelChange(string Channel, string Unit, Estimate BeforeRms, Estimate AfterRms, Estimate ChangeDb, CallKind Call);
