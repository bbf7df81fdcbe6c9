using System.Text.Json.Serialization;
using VibeCheck.Core.Orders.Group;
using VibeCheck.Core.Statistics;

namespace VibeCheck.Core.Flights.Accounting;

/// <summary>Parts of the vibration.</summary>
public enum VibrationPartKind
{
    /// <summary>Whole orders of the rotors.</summary>
    RotorOrders,

    /// <summary>Odd multiples of half the rotor frequency: a part is loose.</summary>
    HalfOrders,

    /// <summary>Lines at other multiples of a rotor's frequency, such as those of a bearing.</summary>
    RotorLocked,

    /// <summary>Lines that keep their frequency while rotors change theirs.</summary>
    SteadyLines,

    /// <summary>Everything that is neither a line nor a knock: air, control, ringing structure.</summary>
    Broadband,

    /// <summary>Short events.</summary>
    Knocks,
}

/// <summary>A part of the vibration.</summary>
/// <param name="Kind">The part.</param>
/// <param name="Mps2">Its root mean square, all three axes, m/s².</param>
/// <param name="Share">Its share of the mean square of the total, 0 to 1; null where it is unknown.</param>
public sealed record VibrationPart(VibrationPartKind Kind, Estimate Mps2, double? Share);

/// <summary>A line at a multiple of a rotor's frequency.</summary>
/// <param name="MotorId">The motor; null where only the rotors as a group are known.</param>
/// <param name="Multiple">Cycles per revolution.</param>
/// <param name="Mps2">Its root mean square, m/s².</param>
/// <param name="Prominence">Its power relative to that of the floor below it.</param>
public sealed record LockedLine(string? MotorId, double Multiple, Estimate Mps2, double Prominence);

/// <summary>A line that keeps its frequency.</summary>
/// <param name="Hz">Frequency, Hz.</param>
/// <param name="Mps2">Its root mean square, m/s².</param>
public sealed record SteadyLine(double Hz, Estimate Mps2)
{
    /// <summary>Whether the data shows that it follows no rotor; false where the rotors' speeds varied too little, so that a rotor may
    /// cause it. Scripts know it by its older name.</summary>
    [JsonPropertyName("is_told")]
    public bool IsUnambiguous { get; init; }
}

/// <summary>Short events in the hover.</summary>
/// <param name="Count">Number of events.</param>
/// <param name="FirstS">Time of the first event, s on the IMU clock; null without any.</param>
/// <param name="PeakMps2">Largest size of the acceleration in an event, without slow motion, m/s².</param>
public sealed record KnockSummary(int Count, double? FirstS, double PeakMps2)
{
    /// <summary>Mean square of knocks of which none might be detected, (m/s²)²: 95 % upper limit.</summary>
    public double LimitMeanSquare { get; init; }
}

/// <summary>The total vibration of a hover in parts whose mean squares add up to that of the total.</summary>
public sealed record VibrationAccount
{
    /// <summary>Root mean square of the acceleration, all three axes, in the band, m/s².</summary>
    public required Estimate TotalMps2 { get; init; }

    /// <summary>The band: from above the motion of the body to 0.4 of the sample rate, Hz.</summary>
    public required Interval BandHz { get; init; }

    /// <summary>Noise of the accelerometer in the band, three axes, rms, m/s²; it is subtracted from the total and from the broadband part.
    /// Unknown where the log has no time at rest: then both include it.</summary>
    public required Estimate SensorNoiseMps2 { get; init; }

    /// <summary>Noise in the band from the steps in which the acceleration was written, three axes, rms, m/s²; 0 where it does not matter.
    /// See <see cref="NoisePower"/> for what is subtracted.</summary>
    public double RoundingNoiseMps2 { get; init; }

    /// <summary>The noise as mean squares.</summary>
    internal NoisePower Noise => new(SensorNoiseMps2.Value is double rest ? rest * rest : null, RoundingNoiseMps2 * RoundingNoiseMps2);

    /// <summary>The parts, in fixed order; those that need rotor frequencies are unknown where these are not known.</summary>
    public required IReadOnlyList<VibrationPart> Parts { get; init; }

    /// <summary>Half orders that stand out, strongest first.</summary>
    public IReadOnlyList<LockedLine> HalfOrders { get; init; } = [];

    /// <summary>Lines at other multiples, strongest first.</summary>
    public IReadOnlyList<LockedLine> LockedLines { get; init; } = [];

    /// <summary>Steady lines, strongest first.</summary>
    public IReadOnlyList<SteadyLine> SteadyLines { get; init; } = [];

    /// <summary>Depth of the floor's dips at the low orders of the rotors; empty without their speeds.</summary>
    public IReadOnlyList<RotorDip> Dips { get; init; } = [];

    /// <summary>Middle of each window of the hover, s on the IMU clock; empty without rotor frequencies.</summary>
    internal IReadOnlyList<double> WindowS { get; init; } = [];

    /// <summary>Mean square of a part in each window, after subtraction of the floor, (m/s²)²; knocks have none.</summary>
    internal IReadOnlyDictionary<VibrationPartKind, double[]> MeanSquaresByWindow { get; init; } =
        new Dictionary<VibrationPartKind, double[]>();

    /// <summary>Short events.</summary>
    public required KnockSummary Knocks { get; init; }

    /// <summary>One of the parts.</summary>
    public VibrationPart Part(VibrationPartKind kind) => Parts.First(p => p.Kind == kind);

    /// <summary>A part from one window of the hover on, with its share of the vibration since then.</summary>
    /// <param name="part">The part; it has values over time.</param>
    /// <param name="window">The first window.</param>
    internal VibrationPart Since(VibrationPart part, int window)
    {
        double[] own = MeanSquaresByWindow[part.Kind][window..];
        double all = MeanSquaresByWindow.Values.Sum(c => Math.Max(0, c[window..].Average()));
        return all > 0 ? part with { Mps2 = GroupLevels.Size(own, 0), Share = own.Average() / all } : part;
    }

    /// <summary>An account in which everything is unknown, with the reason.</summary>
    internal VibrationAccount Unknown(Reason why) =>
        this with
        {
            TotalMps2 = Estimate.Unknown(why),
            SensorNoiseMps2 = Estimate.Unknown(why),
            Parts = [.. Parts.Select(p => new VibrationPart(p.Kind, Estimate.Unknown(why), null))],
            HalfOrders = [],
            LockedLines = [],
            SteadyLines = [],
            Knocks = new(0, null, 0),
        };
}
