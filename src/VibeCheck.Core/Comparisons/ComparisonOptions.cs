using VibeCheck.Core.Orders;

namespace VibeCheck.Core.Comparisons;

/// <summary>Thresholds of a change, and the scatter of flights under the same conditions. docs/methods/comparison.md gives the defaults
/// with their reasons and their performance.</summary>
public sealed record ComparisonOptions
{
    /// <summary>Smallest change of a vibration that matters, dB, above 0: 1 dB is 12 % in size.</summary>
    public double MinChangeDb { get; init; } = 1;

    /// <summary>Smallest change of a steady rise that matters, °C, above 0.</summary>
    public double MinChangeC { get; init; } = 2;

    /// <summary>Standard deviation from flight to flight of a vibration with nothing changed, dB. Used where there is one flight on each
    /// side, and blended with the observed scatter where there are several.</summary>
    public double FlightScatterDb { get; init; } = 0.4;

    /// <summary>Standard deviation from flight to flight of a steady rise with nothing changed, °C: 19 of 20 flights are within twice
    /// this.</summary>
    public double FlightScatterC { get; init; } = 0.65;

    /// <summary>Probability of any false call among those made together, between 0 and 0.5.</summary>
    public double ErrorRate { get; init; } = 0.05;

    /// <summary>Hover speeds within this share after matching are called equal. The remaining difference is corrected for, up to
    /// <see cref="SpeedLimit"/>.</summary>
    public double SpeedMatch { get; init; } = 0.01;

    /// <summary>Flights whose mean hover speeds differ by more than this share cannot be compared: the aircraft was different (mass,
    /// propellers).</summary>
    public double SpeedLimit { get; init; } = 0.06;

    /// <summary>The comparison warns about a hover shorter than this, s.</summary>
    public double ShortHoverS { get; init; } = 30;

    /// <summary>Compare even where the clocks of the logs say that a flight given as before was flown after one given as after: for
    /// recorders whose clock was not set.</summary>
    public bool IgnoreDates { get; init; }

    /// <summary>Orders to measure; null for the usual ones.</summary>
    public IReadOnlyList<int>? Orders { get; init; }

    /// <summary>Receives the progress of the order fits of all flights; null for none.</summary>
    public IProgress<FitProgress>? Progress { get; init; }
}
