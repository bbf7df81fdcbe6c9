using VibeCheck.Core.Airframes;
using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights.Structure;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Orders.SpeedSearch;
using VibeCheck.Core.Quality;
using VibeCheck.Core.Signals;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;

namespace VibeCheck.Core.Flights;

/// <summary>Everything the tool says about one flight.</summary>
public sealed record FlightAnalysis
{
    /// <summary>The airframe it was reckoned for.</summary>
    public required Airframe Airframe { get; init; }

    /// <summary>How the files were understood.</summary>
    public required FlightInput Input { get; init; }

    /// <summary>Ambient temperature used, °C; null when unknown.</summary>
    public double? AmbientC { get; init; }

    /// <summary>The hover time used.</summary>
    public required HoverTime Hover { get; init; }

    /// <summary>Broadband levels of each channel over the hover.</summary>
    public required IReadOnlyList<Level> Levels { get; init; }

    /// <summary>One a motor of the airframe, in its order.</summary>
    public required IReadOnlyList<MotorAnalysis> Motors { get; init; }

    /// <summary>Root of the summed squares of all orders of all motors, m/s²: the vibration that the call is about.</summary>
    public required Estimate RotorVibrationMps2 { get; init; }

    /// <summary>Yaw trim.</summary>
    public required YawTrim YawTrim { get; init; }

    /// <summary>Peaks of the acceleration spectra with their names.</summary>
    public required IReadOnlyList<SpectralPeak> Peaks { get; init; }

    /// <summary>Spectra over the hover, for figures.</summary>
    public required IReadOnlyList<Spectrum> Spectra { get; init; }

    /// <summary>What the numbers point to.</summary>
    public required IReadOnlyList<Finding> Findings { get; init; }

    /// <summary>What a careful reader should know.</summary>
    public required IReadOnlyList<Warning> Warnings { get; init; }

    /// <summary>Faults of the log that the data shows, and what was done about each.</summary>
    public IReadOnlyList<QualityIssue> Quality { get; init; } = [];

    /// <summary>Resonances of the airframe, in rising frequency; empty when none is shown.</summary>
    public IReadOnlyList<StructureMode> Resonances { get; init; } = [];

    /// <summary>Centre of gravity from the speeds; its parts are unknown without the speeds of all motors.</summary>
    public GravityOffset? GravityOffset { get; init; }

    /// <summary>What a search of the vibration for speeds that the log lacks gave; null when there was none.</summary>
    public SpeedSearchResult? SpeedSearch { get; init; }

    /// <summary>Density of the acceleration over time, for figures; null when the record is too short.</summary>
    public Spectrogram? Spectrogram { get; init; }

    /// <summary>Density of the acceleration against rotor speed over the whole flight, for figures; null without speeds.</summary>
    public SpeedFrequencyMap? SpeedMap { get; init; }

    /// <summary>Everything that a flight tells about an aircraft.</summary>
    /// <param name="flight">The flight, from a log or made by other means.</param>
    /// <param name="airframe">Its aircraft.</param>
    /// <param name="options">What to reckon, where the defaults do not fit; null for the defaults.</param>
    /// <returns>Never fails on a flight that tells little: what it cannot give is unknown, with the reason. Without a hover,
    /// <see cref="HoverTime.Segments"/> is empty and so are the lists that rest on it.</returns>
    /// <example><code>
    /// FlightAnalysis analysis = FlightAnalysis.Of(flight, airframe);
    /// double? order1 = analysis.Motors[0].Orders[0].RmsMps2.Value;
    /// </code></example>
    public static FlightAnalysis Of(Flight flight, Airframe airframe, AnalysisOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(flight);
        ArgumentNullException.ThrowIfNull(airframe);
        return new FlightAnalyzer(TelemetryQuality.Checked(flight, airframe), airframe, options ?? new()).Run();
    }
}

/// <summary>The hover time used.</summary>
/// <param name="Segments">Stretches of steady hover on the IMU clock; empty when none was found.</param>
/// <param name="Why">How they were found, or why there is none.</param>
public sealed record HoverTime(IReadOnlyList<TimeInterval> Segments, string Why)
{
    /// <summary>Sum of the segments, s.</summary>
    public double SecondsUsed => Segments.Sum(s => s.Seconds);
}

/// <summary>A broadband level.</summary>
/// <param name="Channel">acc_x .. acc_z, rate_x .. rate_z, velocity_x .. velocity_z and the like.</param>
/// <param name="Unit">m/s², rad/s or mm/s.</param>
/// <param name="Rms">Root mean square in that unit within the band, gravity and drift outside it.</param>
/// <param name="BandHz">The band, Hz.</param>
public sealed record Level(string Channel, string Unit, Estimate Rms, Interval BandHz);

/// <summary>What one motor did in the hover.</summary>
public sealed record MotorAnalysis
{
    /// <summary>The motor.</summary>
    public required string Id { get; init; }

    /// <summary>Mean rotor speed, rpm.</summary>
    public required Estimate RpmMean { get; init; }

    /// <summary>Its mean thrust (speed squared) over the mean of all motors, or mean command over mean command; 1 is an even share.</summary>
    public required Estimate LoadShare { get; init; }

    /// <summary>Mean current, A.</summary>
    public required Estimate CurrentA { get; init; }

    /// <summary>Orders, in rising order.</summary>
    public required IReadOnlyList<OrderLevel> Orders { get; init; }

    /// <summary>Motor temperature.</summary>
    public required TemperatureRise MotorTemp { get; init; }

    /// <summary>ESC temperature.</summary>
    public required TemperatureRise EscTemp { get; init; }

    /// <summary>Unbalance of the rotor, g·mm, as a rigid body estimate.</summary>
    public required Estimate UnbalanceGmm { get; init; }

    /// <summary>Mass, g, from which on a rotor with that unbalance would lie within grade G 6.3 of ISO 21940-11 (fans; the standard
    /// names no propellers): for reference; null when unknown.</summary>
    public double? RotorMassWithinG63G { get; init; }

    /// <summary>Whether <see cref="RpmMean"/> and all that rests on it come from lines found in the vibration, for want of a logged speed.</summary>
    public bool SpeedIsFound { get; init; }

    /// <summary>How late the reported speed comes against the vibration, s; null when speeds moved too little to tell.</summary>
    public double? SpeedLagS { get; init; }
}

/// <summary>What a motor or ESC would settle at above ambient, at hover load.</summary>
public sealed record TemperatureRise
{
    /// <summary>Steady rise, °C.</summary>
    public required Estimate RiseSteadyC { get; init; }

    /// <summary>Time constant, s; null when unknown.</summary>
    public double? TauS { get; init; }

    /// <summary>Root mean square of the slow part of what the fit leaves, °C: a unit that heats with its load leaves next to none.</summary>
    internal double SlowResidualC { get; init; }

    /// <summary>Whether the record came within a tenth of the steady rise.</summary>
    public bool Reached { get; init; }

    /// <summary>No telemetry, or not enough of it.</summary>
    public static TemperatureRise Unknown(Reason why) => new() { RiseSteadyC = Estimate.Unknown(why) };
}

/// <summary>From where the yaw trim was reckoned.</summary>
public enum YawTrimSource
{
    /// <summary>Rotor speeds.</summary>
    Rpm,

    /// <summary>Motor commands, for want of speeds.</summary>
    Command,
}

/// <summary>Yaw trim: (mean of cw motors - mean of ccw motors) / mean of all.</summary>
public sealed record YawTrim(Estimate Split, YawTrimSource From);

/// <summary>A peak of a spectrum and whom it belongs to.</summary>
public sealed record SpectralPeak
{
    /// <summary>acc_x, acc_y, acc_z, rate_x and so on.</summary>
    public required string Channel { get; init; }

    /// <summary>Frequency, Hz, between bins.</summary>
    public required double Hz { get; init; }

    /// <summary>Root mean square of the line in <see cref="Unit"/>.</summary>
    public required double Amplitude { get; init; }

    /// <summary>Unit of the amplitude.</summary>
    public required string Unit { get; init; }

    /// <summary>Motors and orders that lie there; empty when none does.</summary>
    public required IReadOnlyList<MotorOrder> Assigned { get; init; }

    /// <summary>What moves it.</summary>
    public required PeakKind Kind { get; init; }

    /// <summary>True frequency, Hz, of a line folded at half the sample rate; null otherwise.</summary>
    public double? FoldedFromHz { get; init; }
}

/// <summary>An order of a motor.</summary>
public readonly record struct MotorOrder(string Motor, int Order);

/// <summary>What a spectral peak comes from.</summary>
public enum PeakKind
{
    /// <summary>Moves with a rotor's speed.</summary>
    Rotor,

    /// <summary>Stays while speeds move.</summary>
    Structure,

    /// <summary>Neither shown.</summary>
    Unknown,
}
