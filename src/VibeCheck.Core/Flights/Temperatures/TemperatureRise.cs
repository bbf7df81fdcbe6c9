using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights.Temperatures;

/// <summary>The temperature above ambient at which a motor or ESC would settle at hover load.</summary>
public sealed record TemperatureRise
{
    /// <summary>Steady rise, °C.</summary>
    public required Estimate RiseSteadyC { get; init; }

    /// <summary>Time constant, s, of the slow body where two were found; null when unknown.</summary>
    public double? TauS { get; init; }

    /// <summary>Time constant of the fit with one body, s. It does not jump between fits with one body and with two, so flights can be
    /// compared by it.</summary>
    internal double? OneBodyTauS { get; init; }

    /// <summary>Root mean square of the slow part of the residuals, °C: almost zero for a unit that heats with its load.</summary>
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
