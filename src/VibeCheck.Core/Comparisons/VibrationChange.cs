using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Comparisons;

/// <summary>Change of one order of one motor.</summary>
public sealed record OrderChange
{
    /// <summary>Cycles a revolution.</summary>
    public required int Order { get; init; }

    /// <summary>Before, m/s².</summary>
    public required Estimate BeforeMps2 { get; init; }

    /// <summary>After, m/s².</summary>
    public required Estimate AfterMps2 { get; init; }

    /// <summary>Change, dB.</summary>
    public required Estimate ChangeDb { get; init; }

    /// <summary>The call; all orders of all motors hold their error rate together.</summary>
    public required CallKind Call { get; init; }
}

/// <summary>Change of one part of all vibration.</summary>
/// <param name="Kind">Which.</param>
/// <param name="BeforeMps2">Before, m/s².</param>
/// <param name="AfterMps2">After, m/s².</param>
/// <param name="ChangeDb">Change, dB.</param>
/// <param name="Call">The call; a change that hardly moves the whole is none.</param>
public sealed record PartChange(VibrationPartKind Kind, Estimate BeforeMps2, Estimate AfterMps2, Estimate ChangeDb, CallKind Call);

/// <summary>A broadband level before and after.</summary>
public sealed record LevelChange(string Channel, string Unit, Estimate BeforeRms, Estimate AfterRms, Estimate ChangeDb, CallKind Call);
