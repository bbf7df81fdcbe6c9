using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Structure;

/// <summary>How a resonance was found.</summary>
public enum ModeEvidence
{
    /// <summary>A hump in the spectrum of the hover without the rotors' lines.</summary>
    HoverSpectrum,

    /// <summary>The ringing after a bump, such as the touchdown.</summary>
    FreeDecay,
}

/// <summary>A resonance of the airframe (or of the mounting of its IMU): a frequency that stays while speeds vary.</summary>
public sealed record StructureMode
{
    /// <summary>Channel that shows it best: acc_x, acc_y or acc_z.</summary>
    public required string Channel { get; init; }

    /// <summary>Natural frequency, Hz.</summary>
    public required Estimate Hz { get; init; }

    /// <summary>Damping as a share of critical damping, 0 to 1.</summary>
    public required Estimate DampingRatio { get; init; }

    /// <summary>How it was found.</summary>
    public required ModeEvidence Method { get; init; }

    /// <summary>The rotor order that is nearest to it in the hover; null when no speeds are known.</summary>
    public MotorOrder? NearestOrder { get; init; }

    /// <summary>Distance of that order: order's frequency divided by that of the resonance, minus 1. Negative: below it.</summary>
    public double? Margin { get; init; }

    /// <summary>Parts of the flight in which a low order (1, 2 or the blade count) of some motor passed through it.</summary>
    public IReadOnlyList<FlightPhase> CrossedIn { get; init; } = [];

    /// <summary>Whether a frequency is within the half-power width, f0 (1 ± ζ), or within the interval of f0 where that is wider.</summary>
    /// <param name="hz">Frequency, Hz.</param>
    public bool Covers(double hz) =>
        Hz.Value is double at
        && DampingRatio.Value is double damping
        && Math.Abs(hz - at) <= Math.Max(damping * at, (Hz.Ci95?.Width ?? 0) / 2);
}
