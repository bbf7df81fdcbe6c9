using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights;

/// <summary>A broadband level.</summary>
/// <param name="Channel">acc_x .. acc_z, rate_x .. rate_z, velocity_x .. velocity_z and the like.</param>
/// <param name="Unit">m/s², rad/s or mm/s.</param>
/// <param name="Rms">Root mean square in that unit within the band, without gravity and drift.</param>
/// <param name="BandHz">The band, Hz.</param>
public sealed record Level(string Channel, string Unit, Estimate Rms, Interval BandHz);
