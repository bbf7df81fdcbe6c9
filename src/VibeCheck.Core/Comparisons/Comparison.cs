using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Uncertainty;

namespace VibeCheck.Core.Comparisons;

/// <summary>The answer to "did it help?".</summary>
public enum Verdict
{
    /// <summary>Something that matters got better, nothing that matters got worse.</summary>
    Improved,

    /// <summary>Nothing that matters is shown to have changed.</summary>
    NoClearChange,

    /// <summary>Something got better and something got worse.</summary>
    Mixed,

    /// <summary>Something that matters got worse, nothing better.</summary>
    Worse,

    /// <summary>The flights cannot be held against each other.</summary>
    NotComparable,
}

/// <summary>The call on one quantity.</summary>
public enum CallKind
{
    /// <summary>Better, shown, and by enough to matter.</summary>
    Improved,

    /// <summary>No change that is both shown and large enough to matter.</summary>
    NoClearChange,

    /// <summary>Worse, shown, and by enough to matter.</summary>
    Worse,

    /// <summary>Not known; the reason stands beside it.</summary>
    Unknown,
}

/// <summary>The call on one quantity, before against after.</summary>
public sealed record Call
{
    /// <summary>What is called.</summary>
    public required CallKind Kind { get; init; }

    /// <summary>Before, in the quantity's own unit; null when unknown.</summary>
    public double? Before { get; init; }

    /// <summary>After, in the quantity's own unit; null when unknown.</summary>
    public double? After { get; init; }

    /// <summary>After against before in <see cref="ChangeUnit"/>, with the interval from all sources of doubt; negative is less.</summary>
    public required Estimate Change { get; init; }

    /// <summary>Unit of before and after: m/s² or °C.</summary>
    public required string Unit { get; init; }

    /// <summary>Unit of the change: dB or °C.</summary>
    public required string ChangeUnit { get; init; }

    /// <summary>Why this call, or why it is not known: one plain sentence.</summary>
    public required string Why { get; init; }
}

/// <summary>Change of one order of one motor.</summary>
public sealed record OrderChange
{
    /// <summary>Cycles a revolution.</summary>
    public required int Order { get; init; }

    /// <summary>Before, m/s².</summary>
    public required Estimate BeforeMps2 { get; init; }

    /// <summary>After, m/s².</summary>
    public required Estimate AfterMps2 { get; init; }

    /// <summary>Change, dB.</summary>
    public required Estimate ChangeDb { get; init; }

    /// <summary>The call; all orders of all motors hold their error rate together.</summary>
    public required CallKind Call { get; init; }
}

/// <summary>One motor before and after.</summary>
public sealed record MotorComparison
{
    /// <summary>The motor.</summary>
    public required string Id { get; init; }

    /// <summary>Tilt as found, or null.</summary>
    public MotorTilt? TiltBefore { get; init; }

    /// <summary>Tilt as left, or null.</summary>
    public MotorTilt? TiltAfter { get; init; }

    /// <summary>Mean speed before, rpm.</summary>
    public required Estimate RpmBefore { get; init; }

    /// <summary>Mean speed after, rpm.</summary>
    public required Estimate RpmAfter { get; init; }

    /// <summary>Change of each order.</summary>
    public required IReadOnlyList<OrderChange> Orders { get; init; }

    /// <summary>Steady rise of the motor.</summary>
    public required Call MotorTemp { get; init; }

    /// <summary>Steady rise of the ESC.</summary>
    public required Call EscTemp { get; init; }
}

/// <summary>A broadband level before and after.</summary>
public sealed record LevelChange(string Channel, string Unit, Estimate BeforeRms, Estimate AfterRms, Estimate ChangeDb, CallKind Call);

/// <summary>Yaw trim measured and predicted.</summary>
/// <param name="Before">Measured before.</param>
/// <param name="After">Measured after.</param>
/// <param name="PredictedBefore">What the as-found tilts predict.</param>
/// <param name="PredictedAfter">What the as-left tilts predict.</param>
/// <param name="From">Speeds or commands.</param>
public sealed record YawTrimChange(Estimate Before, Estimate After, Estimate PredictedBefore, Estimate PredictedAfter, YawTrimSource From);

/// <summary>Change of order 1 per degree of tilt taken out, over the motors.</summary>
/// <param name="SlopePerDeg">dB per degree of |tilt|; unknown when the flights do not show it.</param>
/// <param name="MotorCount">Motors it rests on.</param>
/// <param name="Method">Name of the method with its source.</param>
public sealed record TiltEffect(Estimate SlopePerDeg, int MotorCount, string Method);

/// <summary>A condition of the flights and whether it matched.</summary>
/// <param name="Name">Plain name, such as "hover speed".</param>
/// <param name="Before">Before, with unit, as text; null when unknown.</param>
/// <param name="After">After, with unit, as text; null when unknown.</param>
/// <param name="Matched">True matched or corrected for; false not; null not known.</param>
/// <param name="Why">What was done about it.</param>
public sealed record Condition(string Name, string? Before, string? After, bool? Matched, string Why);

/// <summary>Before, survey, after: did it help?</summary>
public sealed record Comparison
{
    /// <summary>Title of the job.</summary>
    public required string Title { get; init; }

    /// <summary>The airframe.</summary>
    public required Airframe Airframe { get; init; }

    /// <summary>The survey between the flights; null when there is none.</summary>
    public Survey? Survey { get; init; }

    /// <summary>The verdict.</summary>
    public required Verdict Verdict { get; init; }

    /// <summary>Why, strongest first, in plain sentences.</summary>
    public required IReadOnlyList<string> Reasons { get; init; }

    /// <summary>What to do next, in plain sentences, most useful first.</summary>
    public required IReadOnlyList<string> NextSteps { get; init; }

    /// <summary>Vibration: rms of all rotor orders of all motors.</summary>
    public required Call Vibration { get; init; }

    /// <summary>Hottest motor's steady rise.</summary>
    public required Call MotorTemperature { get; init; }

    /// <summary>Hottest ESC's steady rise.</summary>
    public required Call EscTemperature { get; init; }

    /// <summary>One a motor of the airframe, in its order.</summary>
    public required IReadOnlyList<MotorComparison> Motors { get; init; }

    /// <summary>Broadband levels.</summary>
    public required IReadOnlyList<LevelChange> Levels { get; init; }

    /// <summary>Yaw trim.</summary>
    public required YawTrimChange YawTrim { get; init; }

    /// <summary>Effect of tilt on order 1.</summary>
    public required TiltEffect TiltEffect { get; init; }

    /// <summary>What was matched and what was not.</summary>
    public required IReadOnlyList<Condition> Conditions { get; init; }

    /// <summary>Flights before, analysed over the matched hover.</summary>
    public required IReadOnlyList<FlightAnalysis> Before { get; init; }

    /// <summary>Flights after, analysed over the matched hover.</summary>
    public required IReadOnlyList<FlightAnalysis> After { get; init; }
}
