using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>What a motor or ESC would settle at above ambient, at hover load.</summary>
public sealed record TemperatureRise
{
    /// <summary>Steady rise, °C.</summary>
    public required Estimate RiseSteadyC { get; init; }

    /// <summary>Time constant, s, of the slow body where two were seen; null when unknown.</summary>
    public double? TauS { get; init; }

    /// <summary>Time constant of the fit of one body, s: it does not jump between fits of one body and of two, so flights can be held
    /// against each other by it.</summary>
    internal double? OneBodyTauS { get; init; }

    /// <summary>Root mean square of the slow part of what the fit leaves, °C: a unit that
    /// heats with its load leaves next to none.</summary>
    internal double SlowResidualC { get; init; }

    /// <summary>Whether the record came within a tenth of the steady rise.</summary>
    public bool Reached { get; init; }

    /// <summary>Temperatures as reported, °C, for figures; null without telemetry.</summary>
    public Series? Readings { get; init; }

    /// <summary>The fitted temperature over the record, °C, for figures; null without a fit.</summary>
    public Series? Fitted { get; init; }

    /// <summary>No telemetry, or not enough of it.</summary>
    public static TemperatureRise Unknown(Reason why) => new() { RiseSteadyC = Estimate.Unknown(why) };
}
