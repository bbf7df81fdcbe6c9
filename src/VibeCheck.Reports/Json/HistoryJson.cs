using System.Globalization;
using System.Text.Json;
using VibeCheck.Core.Comparisons;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Text;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports;

/// <summary>The machine-readable life of an airframe, schema vibecheck.history/1.</summary>
public static class HistoryJson
{
    /// <summary>Writes the result as UTF-8. Units stand in the field names; what is unknown is null with a why beside it.</summary>
    public static void Write(History history, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(history);
        JsonFields.Write(stream, json => json.Object(() => Body(json, history)));
    }

    private static void Body(Utf8JsonWriter json, History history)
    {
        json.WriteString("schema", "vibecheck.history/1");
        json.WriteString("tool_version", ToolVersion.Text);
        json.WriteString("title", history.Title);
        json.WriteString("airframe", history.Airframe.Name);
        json.WriteString("verdict_first_to_last", history.Whole.Verdict.Code());
        json.Array("stages", history.Stages, stage => Stage(json, stage));
    }

    private static void Stage(Utf8JsonWriter json, HistoryStage stage) =>
        json.Object(() =>
        {
            json.WriteString("name", stage.Name);
            json.WriteString("date", stage.Date.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));
            json.Number("flights", stage.Flights.Count);
            json.Amount("vibration_mps2", "vibration_ci95", stage.VibrationMps2);
            json.Amount("hottest_motor_c", "hottest_motor_ci95", stage.HottestMotorC);
            json.Amount("hottest_esc_c", "hottest_esc_ci95", stage.HottestEscC);
            json.Amount("motor_spread_c", "motor_spread_ci95", stage.MotorSpreadC);
            json.Amount("split", "split_ci95", stage.Split);
            json.Why(
                ("vibration_mps2", stage.VibrationMps2),
                ("hottest_motor_c", stage.HottestMotorC),
                ("hottest_esc_c", stage.HottestEscC),
                ("motor_spread_c", stage.MotorSpreadC),
                ("split", stage.Split)
            );
            if (stage.Step is Comparison step)
            {
                json.Object("step", () => Step(json, step));
            }
        });

    private static void Step(Utf8JsonWriter json, Comparison step)
    {
        json.WriteString("verdict", step.Verdict.Code());
        json.Amount("vibration_change_db", "vibration_change_ci95", step.Vibration.Change);
        json.WriteString("vibration_call", step.Vibration.Kind.Code());
        json.Amount("motor_change_c", "motor_change_ci95", step.MotorTemperature.Change);
        json.WriteString("motor_call", step.MotorTemperature.Kind.Code());
        json.Amount("esc_change_c", "esc_change_ci95", step.EscTemperature.Change);
        json.WriteString("esc_call", step.EscTemperature.Kind.Code());
        json.Texts("reasons", step.Reasons.Select(r => ReasonText.Full(r)));
        json.Why(
            ("vibration_change_db", step.Vibration.Change),
            ("motor_change_c", step.MotorTemperature.Change),
            ("esc_change_c", step.EscTemperature.Change)
        );
    }
}
