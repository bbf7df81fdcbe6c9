using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>What to calculate for a flight, where the defaults are not suitable.</summary>
public sealed record AnalysisOptions
{
    /// <summary>Orders to measure on every motor, each 1 or more; null for 1, 2, 3, the blade count and twice the blade count.</summary>
    public IReadOnlyList<int>? Orders { get; init; }

    /// <summary>Hover time to use, s on the IMU clock; null to find it.</summary>
    public IReadOnlyList<TimeInterval>? HoverSegments { get; init; }

    /// <summary>Band of the levels of acceleration and rate, Hz; null for 5 Hz to half the sample rate, at most 1000 Hz.</summary>
    public Interval? BandHz { get; init; }

    /// <summary>Ambient temperature, °C; null to use that of the log, else that of a cold start.</summary>
    public double? AmbientC { get; init; }

    /// <summary>Window and resolution of the spectra.</summary>
    public SpectrumOptions Spectrum { get; init; } = new();

    /// <summary>Receives the progress of the order fit; null for none.</summary>
    public IProgress<FitProgress>? Progress { get; init; }

    /// <summary>The rotors' speed, chosen for all flights of a comparison together. Null to measure the rotors as a group only where the
    /// log lacks speeds, and to choose for this flight alone.</summary>
    internal GroupSpeedChoice? GroupSpeed { get; init; }

    /// <summary>Band of the vibration account, Hz, the same in all flights of a comparison; null to use that of this flight
    /// alone.</summary>
    internal Interval? AccountBandHz { get; init; }
}
