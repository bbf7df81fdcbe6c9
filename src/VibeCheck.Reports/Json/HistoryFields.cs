using System.Globalization;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Json;

/// <summary>The stages of an airframe.</summary>
internal sealed class HistoryFields(History history)
{
    [OneOf("vibecheck.history/1")]
    public string Schema { get; } = "vibecheck.history/1";
    public string ToolVersion { get; } = Formatting.ToolVersion.Text;
    public string Title => history.Title;
    public string Airframe => history.Airframe.Name;
    public Verdict VerdictFirstToLast => history.Whole.Verdict;
    public IEnumerable<StageFields> Stages => history.Stages.Select(s => new StageFields(s));
}

/// <summary>One stage, and the step to it from the one before.</summary>
internal sealed class StageFields(HistoryStage stage)
{
    public string Name => stage.Name;
    public string Date => stage.Date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
    public int Flights => stage.Flights.Count;

    [Ci95("vibration_ci95")]
    public Estimate VibrationMps2 => stage.VibrationMps2;

    [Ci95("hottest_motor_ci95")]
    public Estimate HottestMotorC => stage.HottestMotorC;

    [Ci95("hottest_esc_ci95")]
    public Estimate HottestEscC => stage.HottestEscC;

    [Ci95("motor_spread_ci95")]
    public Estimate MotorSpreadC => stage.MotorSpreadC;

    [Ci95("split_ci95")]
    public Estimate Split => stage.Split;

    public string? Why =>
        WhyText.Of(
            ("vibration_mps2", stage.VibrationMps2),
            ("hottest_motor_c", stage.HottestMotorC),
            ("hottest_esc_c", stage.HottestEscC),
            ("motor_spread_c", stage.MotorSpreadC),
            ("split", stage.Split)
        );

    [MayBeMissing]
    public StepFields? Step => stage.Step is { } step ? new(step) : null;
}

/// <summary>A comparison with the stage before, in short.</summary>
internal sealed class StepFields(Comparison step)
{
    public Verdict Verdict => step.Verdict;

    [Ci95("vibration_change_ci95")]
    public Estimate VibrationChangeDb => step.Vibration.Change;
    public CallKind VibrationCall => step.Vibration.Kind;

    [Ci95("motor_change_ci95")]
    public Estimate MotorChangeC => step.MotorTemperature.Change;
    public CallKind MotorCall => step.MotorTemperature.Kind;

    [Ci95("esc_change_ci95")]
    public Estimate EscChangeC => step.EscTemperature.Change;
    public CallKind EscCall => step.EscTemperature.Kind;
    public IEnumerable<string> Reasons => step.Reasons.Select(r => ReasonText.Full(r));

    public string? Why =>
        WhyText.Of(
            ("vibration_change_db", step.Vibration.Change),
            ("motor_change_c", step.MotorTemperature.Change),
            ("esc_change_c", step.EscTemperature.Change)
        );
}
