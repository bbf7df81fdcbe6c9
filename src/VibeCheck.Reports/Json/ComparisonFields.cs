using System.Text.Json.Serialization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Formatting;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>The result of a comparison.</summary>
internal sealed class ComparisonFields(Comparison comparison)
{
    [OneOf("vibecheck.compare/1")]
    public string Schema { get; } = "vibecheck.compare/1";
    public string ToolVersion { get; } = Formatting.ToolVersion.Text;
    public string Title => comparison.Title;
    public string Airframe => comparison.Airframe.Name;
    public Verdict Verdict => comparison.Verdict;
    public string VerdictText => Text.VerdictText.Sentence(comparison);
    public IEnumerable<string> Reasons => comparison.Reasons.Select(r => ReasonText.Full(r));
    public IEnumerable<Reason> Causes => comparison.Reasons;
    public IEnumerable<string> NextSteps => NextStepText.Of(comparison);
    public CallsFields Calls => new(comparison);
    public IEnumerable<PartChangeFields> Parts => comparison.Parts.Select(p => new PartChangeFields(p));
    public IEnumerable<QualityFields> Quality => comparison.Quality.Select(q => new QualityFields(q));
    public IEnumerable<MotorComparisonFields> Motors => comparison.Motors.Select(m => new MotorComparisonFields(m));
    public IEnumerable<LevelChangeFields> Levels => comparison.Levels.Select(l => new LevelChangeFields(l));
    public YawTrimChangeFields YawTrim => new(comparison.YawTrim);
    public TiltEffectFields TiltEffect => new(comparison.TiltEffect);
    public SpreadsFields Spread => new(new(comparison.MotorSpread), new(comparison.EscSpread));
    public IEnumerable<FindingFields> Findings => comparison.Findings.Select(f => new FindingFields(f, null));
    public IEnumerable<ScaleFields> Scale => ScaleFields.Of(comparison.After[^1], comparison.Before);
    public IEnumerable<FlightUseFields> Timeline => comparison.Timeline.Select(u => new FlightUseFields(u));
    public IEnumerable<ConditionFields> Conditions => comparison.Conditions.Select(c => new ConditionFields(c));
    public FlightsFields Flights => new(Of(comparison.Before), Of(comparison.After));

    private static IEnumerable<FlightFields> Of(IEnumerable<FlightAnalysis> flights) => flights.Select(f => new FlightFields(f));
}

/// <summary>The calls by quantity.</summary>
internal sealed class CallsFields(Comparison comparison)
{
    public CallFields AllVibration => new(comparison.AllVibration);
    public VibrationCallFields Vibration => new(comparison.Vibration, comparison.VibrationIsOfGroup);
    public CallFields MotorTemperature => new(comparison.MotorTemperature);
    public CallFields EscTemperature => new(comparison.EscTemperature);
}

/// <summary>One call: its word, the amounts before and after, and the change with its interval.</summary>
internal class CallFields(Call call)
{
    public CallKind Call => call.Kind;
    public double? Before => call.Before;
    public double? After => call.After;
    public Estimate Change => call.Change;

    [OneOf("m/s²", "°C")]
    public string Unit => call.Unit;

    [OneOf("dB", "°C")]
    public string ChangeUnit => call.ChangeUnit;
    public double? SmallestShown => call.SmallestShown;
    public string? Why => ReasonText.Of(call.Why);
    public Reason? Reason => call.Why;
}

/// <summary>Which vibration the call is about.</summary>
internal enum VibrationOrigin
{
    /// <summary>Rotor orders of all motors.</summary>
    Motors,

    /// <summary>All rotors together, where single motors are not known.</summary>
    Group,
}

/// <summary>The call on the rotors' vibration.</summary>
internal sealed class VibrationCallFields(Call call, bool isOfGroup) : CallFields(call)
{
    [JsonPropertyOrder(1)]
    public VibrationOrigin From => isOfGroup ? VibrationOrigin.Group : VibrationOrigin.Motors;
}

/// <summary>Change of a channel's level.</summary>
internal sealed class LevelChangeFields(LevelChange level)
{
    public string Channel => level.Channel;
    public string Unit => level.Unit;

    [Ci95("before_ci95")]
    public Estimate BeforeRms => level.BeforeRms;

    [Ci95("after_ci95")]
    public Estimate AfterRms => level.AfterRms;

    [Ci95("ci95_db")]
    public Estimate ChangeDb => level.ChangeDb;
    public CallKind Call => level.Call;

    public string? Why => WhyText.Of(("before_rms", level.BeforeRms), ("after_rms", level.AfterRms), ("change_db", level.ChangeDb));
}

/// <summary>Yaw trim measured and predicted from the survey.</summary>
internal sealed class YawTrimChangeFields(YawTrimChange trim)
{
    [Ci95("split_before_ci95")]
    public Estimate SplitBefore => trim.Before;

    [Ci95("split_after_ci95")]
    public Estimate SplitAfter => trim.After;

    [Ci95("predicted_before_ci95")]
    public Estimate PredictedBefore => trim.PredictedBefore;

    [Ci95("predicted_after_ci95")]
    public Estimate PredictedAfter => trim.PredictedAfter;
    public YawTrimSource From => trim.From;
    public string Meaning => ReasonText.Of(trim.Meaning) ?? "";

    public string? Why =>
        WhyText.Of(
            ("split_before", trim.Before),
            ("split_after", trim.After),
            ("predicted_before", trim.PredictedBefore),
            ("predicted_after", trim.PredictedAfter)
        );
}

/// <summary>Change of order 1 with tilt.</summary>
internal sealed class TiltEffectFields(TiltEffect effect)
{
    public Estimate SlopePerDeg => effect.SlopePerDeg;
    public int N => effect.MotorCount;
    public string Method => TiltFormat.Method(effect.Method);
    public string? Why => ReasonText.Of(effect.SlopePerDeg.Why);
    public Reason? Reason => effect.SlopePerDeg.Why;
}

/// <summary>Differences between the steady rises of the units: hottest minus coolest.</summary>
internal sealed record SpreadsFields(SpreadFields Motors, SpreadFields Escs);

/// <summary>Hottest minus coolest steady rise of one kind of unit.</summary>
internal sealed class SpreadFields(TemperatureSpread? spread)
{
    private static readonly Estimate s_none = Estimate.Unknown(new NotMeasured());

    [Ci95("before_ci95")]
    public Estimate BeforeC => spread?.BeforeC ?? s_none;

    [Ci95("after_ci95")]
    public Estimate AfterC => spread?.AfterC ?? s_none;
    public Estimate ChangeC => spread?.ChangeC ?? s_none;
    public CallKind Call => spread?.Call ?? CallKind.Unknown;
    public string? Why => WhyText.Of(("before_c", BeforeC), ("after_c", AfterC), ("change_c", ChangeC));
}

/// <summary>Which part of a flight was used.</summary>
internal sealed class FlightUseFields(FlightUse use)
{
    public string Flight => use.Name;
    public IEnumerable<SegmentFields> Record => SegmentFields.Of([use.Record]);
    public IEnumerable<SegmentFields> HoverFound => SegmentFields.Of(use.Hover);
    public IEnumerable<SegmentFields> HoverUsed => SegmentFields.Of(use.Used);
}

/// <summary>A condition before and after.</summary>
internal sealed class ConditionFields(Condition condition)
{
    public string Name => ConditionText.Name(condition.Kind);
    public string? Before => ConditionText.Of(condition.Before);
    public string? After => ConditionText.Of(condition.After);
    public bool? Matched => condition.Matched;
    public string? Why => ReasonText.Full(condition.Why);
    public Reason? Reason => condition.Why;
}

/// <summary>The flights that were compared.</summary>
internal sealed record FlightsFields(IEnumerable<FlightFields> Before, IEnumerable<FlightFields> After);
