using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Steady rise of each motor and ESC of a flight, and the ambient temperature to which it refers.</summary>
internal sealed class TemperatureResults(Flight flight, IReadOnlyList<TimeInterval> hover, double? givenAmbientC)
{
    private readonly Estimate? _coldStart = givenAmbientC is null && flight.AmbientC is null ? Ambient.FromColdStart(flight.Motors) : null;

    /// <summary>The given value, else that of the log, else that of the cold start; null when there is none.</summary>
    internal double? AmbientC => givenAmbientC ?? flight.AmbientC ?? _coldStart?.Value;

    internal bool AmbientIsFromColdStart => _coldStart is { IsKnown: true };

    internal TemperatureRise Motor(string motorId) => Rise(motorId, t => t.MotorTempC, new TemperatureNotLogged(Esc: false));

    internal TemperatureRise Esc(string motorId) => Rise(motorId, t => t.EscTempC, new TemperatureNotLogged(Esc: true));

    private TemperatureRise Rise(string motorId, Func<MotorTrack, Series?> of, Reason whyNone)
    {
        if (flight.Track(motorId) is not { } track || of(track) is not { Count: > 0 } temperature)
        {
            return TemperatureRise.Unknown(whyNone);
        }

        if (AmbientC is null)
        {
            return TemperatureRise.Unknown(_coldStart!.Why!) with { Readings = temperature };
        }

        TemperatureRise rise = Load.Of(track, hover) is { } load
            ? TemperatureFit.Fit(temperature, load, AmbientC, hover)
            : TemperatureRise.Unknown(new LoadNotLogged());
        return rise with { Readings = temperature };
    }
}
