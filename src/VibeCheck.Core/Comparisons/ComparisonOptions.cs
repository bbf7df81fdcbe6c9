using VibeCheck.Core.Orders;

namespace VibeCheck.Core.Comparisons;

/// <summary>What counts as a change, and how far flights scatter that were made alike. The defaults, with their reasons and what they
/// reach, stand in docs/methods/comparison.md.</summary>
public sealed record ComparisonOptions
{
    /// <summary>Smallest change of a vibration that matters, dB, above 0: 1 dB is 12 % in size.</summary>
    public double MinChangeDb { get; init; } = 1;

    /// <summary>Smallest change of a steady rise that matters, °C, above 0.</summary>
    public double MinChangeC { get; init; } = 2;

    /// <summary>Standard deviation from flight to flight of a vibration with nothing changed, dB, taken where one flight stands alone and
    /// blended with what several flights show.</summary>
    public double FlightScatterDb { get; init; } = 0.4;

    /// <summary>Standard deviation from flight to flight of a steady rise with nothing changed,
    /// °C: 19 of 20 flights lie within twice this.</summary>
    public double FlightScatterC { get; init; } = 0.65;

    /// <summary>Chance of any false call among those made together, between 0 and 0.5.</summary>
    public double ErrorRate { get; init; } = 0.05;

    /// <summary>Hover speeds are called alike within this share after matching. What is left is corrected for, up to
    /// <see cref="SpeedLimit"/>.</summary>
    public double SpeedMatch { get; init; } = 0.01;

    /// <summary>Mean hover speeds further apart than this share cannot be compared: the aircraft was another (mass, propellers).</summary>
    public double SpeedLimit { get; init; } = 0.06;

    /// <summary>Hover below which the comparison warns that it is short, s.</summary>
    public double ShortHoverS { get; init; } = 30;

    /// <summary>Compare even where the logs' clocks say that a flight given as before was
    /// flown after one given as after: for recorders whose
    /// clock was not set.</summary>
    public bool IgnoreDates { get; init; }

    /// <summary>Orders to measure; null for the usual ones.</summary>
    public IReadOnlyList<int>? Orders { get; init; }

    /// <summary>Told how far the order fits of all flights are; null for nobody.</summary>
    public IProgress<FitProgress>? Progress { get; init; }
}
