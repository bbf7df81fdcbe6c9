using VibeCheck.Core.Airframes;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Accounting;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Core.Tracks;

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

    /// <summary>95 % interval of the amount before, with how flights scatter from one to the next in it; null when unknown.</summary>
    public Interval? BeforeCi95 { get; init; }

    /// <summary>The same of the amount after.</summary>
    public Interval? AfterCi95 { get; init; }

    /// <summary>After against before in <see cref="ChangeUnit"/>, with the interval from all sources of doubt; negative is less.</summary>
    public required Estimate Change { get; init; }

    /// <summary>Unit of before and after: m/s² or °C.</summary>
    public required string Unit { get; init; }

    /// <summary>Unit of the change: dB or °C.</summary>
    public required string ChangeUnit { get; init; }

    /// <summary>Why this call, or why it is not known.</summary>
    public required Reason Why { get; init; }

    /// <summary>Smallest change that these flights could have shown, in <see cref="ChangeUnit"/>; null when unknown.</summary>
    public double? SmallestShown { get; init; }
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

/// <summary>Change of one part of all vibration.</summary>
/// <param name="Kind">Which.</param>
/// <param name="BeforeMps2">Before, m/s².</param>
/// <param name="AfterMps2">After, m/s².</param>
/// <param name="ChangeDb">Change, dB.</param>
/// <param name="Call">The call; a change that hardly moves the whole is none.</param>
public sealed record PartChange(VibrationPartKind Kind, Estimate BeforeMps2, Estimate AfterMps2, Estimate ChangeDb, CallKind Call);

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

    /// <summary>Share of the load before and after, with its call.</summary>
    public LoadShareChange LoadShare { get; init; } = LoadShareChange.Unknown(new NotMeasured());

    /// <summary>Share of the load before, 1 is an even share.</summary>
    public Estimate LoadShareBefore { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Share of the load after, 1 is an even share.</summary>
    public Estimate LoadShareAfter { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Mean current before, A.</summary>
    public Estimate CurrentBeforeA { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Mean current after, A.</summary>
    public Estimate CurrentAfterA { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Power after over power before: speed cubed, else current; null when unknown. Losses go with power, whichever current
    /// (of the motor or of the supply) an ESC reports.</summary>
    public double? LoadRatio { get; init; }

    /// <summary>Change of the motor's steady rise at the load it had before, °C: what is left
    /// when its change of work is taken out.</summary>
    public Estimate MotorRiseAtEqualLoadC { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>The same of its ESC.</summary>
    public Estimate EscRiseAtEqualLoadC { get; init; } = Estimate.Unknown(new NotMeasured());

    /// <summary>Why the motor settles warmer or cooler, where that is called.</summary>
    public RiseCause MotorRiseCause { get; init; }

    /// <summary>Why its ESC does.</summary>
    public RiseCause EscRiseCause { get; init; }
}

/// <summary>How unevenly warm the units are: hottest less coolest steady rise, °C.</summary>
/// <param name="BeforeC">Before.</param>
/// <param name="AfterC">After.</param>
/// <param name="ChangeC">Change, negative is more even.</param>
/// <param name="Call">The call on it; it does not count in the verdict.</param>
public sealed record TemperatureSpread(Estimate BeforeC, Estimate AfterC, Estimate ChangeC, CallKind Call);

/// <summary>What was used of one flight, for a time line.</summary>
/// <param name="Name">Name of the flight, such as "before 1".</param>
/// <param name="IsAfter">Whether it was flown after the work.</param>
/// <param name="Record">From the first IMU sample to the last, s.</param>
/// <param name="Hover">Hover as found in the flight by itself.</param>
/// <param name="Used">What was used of it after matching with the other flights.</param>
public sealed record FlightUse(
    string Name,
    bool IsAfter,
    TimeInterval Record,
    IReadOnlyList<TimeInterval> Hover,
    IReadOnlyList<TimeInterval> Used
)
{
    /// <summary>Share of the hover found that was used, 0 to 1; 0 without hover.</summary>
    public double UsedShare => Hover.Count == 0 ? 0 : Used.Sum(s => s.Seconds) / Hover.Sum(s => s.Seconds);
}

/// <summary>A broadband level before and after.</summary>
public sealed record LevelChange(string Channel, string Unit, Estimate BeforeRms, Estimate AfterRms, Estimate ChangeDb, CallKind Call);

/// <summary>Yaw trim measured and predicted.</summary>
/// <param name="Before">Measured before.</param>
/// <param name="After">Measured after.</param>
/// <param name="PredictedBefore">What the as-found tilts predict.</param>
/// <param name="PredictedAfter">What the as-left tilts predict.</param>
/// <param name="From">Speeds or commands.</param>
public sealed record YawTrimChange(Estimate Before, Estimate After, Estimate PredictedBefore, Estimate PredictedAfter, YawTrimSource From)
{
    /// <summary>Whether the survey explains the trim; null where it is not known on both sides.</summary>
    public SplitChanged? Meaning { get; init; }
}

/// <summary>Change of order 1 per degree of tilt taken out, over the motors.</summary>
/// <param name="SlopePerDeg">dB per degree of |tilt|; unknown when the flights do not show it.</param>
/// <param name="MotorCount">Motors it rests on.</param>
/// <param name="Method">How the slope was found.</param>
public sealed record TiltEffect(Estimate SlopePerDeg, int MotorCount, TiltMethod Method);

/// <summary>How the effect of tilt is found.</summary>
public enum TiltMethod
{
    /// <summary>Not at all.</summary>
    None,

    /// <summary>Median of the slopes between pairs of motors (Theil 1950; Sen 1968).</summary>
    TheilSen,
}

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

    /// <summary>Why, strongest first.</summary>
    public required IReadOnlyList<Reason> Reasons { get; init; }

    /// <summary>What to do next, most useful first.</summary>
    public required IReadOnlyList<Reason> NextSteps { get; init; }

    /// <summary>Vibration: rms of all rotor orders of all motors.</summary>
    public required Call Vibration { get; init; }

    /// <summary>Whether <see cref="Vibration"/> is that of the rotors as a group, because a flight lacks rotor speeds.</summary>
    public bool VibrationIsOfGroup { get; init; }

    /// <summary>All vibration, whatever makes it.</summary>
    public Call AllVibration { get; init; } =
        new()
        {
            Kind = CallKind.Unknown,
            Change = Estimate.Unknown(new NotMeasured()),
            Unit = "m/s²",
            ChangeUnit = "dB",
            Why = new NotMeasured(),
        };

    /// <summary>Its parts; empty where they are not known.</summary>
    public IReadOnlyList<PartChange> Parts { get; init; } = [];

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

    /// <summary>Faults that only show when the flights are held side by side; those of one flight stand with the flight.</summary>
    public IReadOnlyList<QualityIssue> Quality { get; init; } = [];

    /// <summary>What was used of each flight, before first.</summary>
    public IReadOnlyList<FlightUse> Timeline { get; init; } = [];

    /// <summary>How unevenly warm the motors are.</summary>
    public TemperatureSpread? MotorSpread { get; init; }

    /// <summary>How unevenly warm the ESCs are.</summary>
    public TemperatureSpread? EscSpread { get; init; }

    /// <summary>What the comparison itself points to, such as a motor whose tilt improved but whose vibration did not.</summary>
    public IReadOnlyList<Finding> Findings { get; init; } = [];

    /// <summary>What counted as a change, and how far flights were taken to scatter.</summary>
    public ComparisonOptions Options { get; init; } = new();
}
