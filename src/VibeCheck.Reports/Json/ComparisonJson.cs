using System.Text.Json;
using VibeCheck.Core.Comparisons;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Text;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports;

/// <summary>The machine-readable result of a comparison, schema vibecheck.compare/1.</summary>
public static class ComparisonJson
{
    /// <summary>Writes the result as UTF-8. Units stand in the field names; what is unknown is null with a why beside it.</summary>
    public static void Write(Comparison comparison, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        JsonFields.Write(stream, json => json.Object(() => Body(json, comparison)));
    }

    private static void Body(Utf8JsonWriter json, Comparison comparison)
    {
        json.WriteString("schema", "vibecheck.compare/1");
        json.WriteString("tool_version", ToolVersion.Text);
        json.WriteString("title", comparison.Title);
        json.WriteString("airframe", comparison.Airframe.Name);
        json.WriteString("verdict", comparison.Verdict.Code());
        json.WriteString("verdict_text", VerdictWords.Sentence(comparison));
        json.Texts("reasons", comparison.Reasons.Select(r => ReasonText.Full(r)));
        json.Array("causes", comparison.Reasons, r => ReasonJson.Write(json, r));
        json.Texts("next_steps", NextStepText.Of(comparison));
        json.Object(
            "calls",
            () =>
            {
                json.Object("all_vibration", () => Call(json, comparison.AllVibration));
                json.Object(
                    "vibration",
                    () =>
                    {
                        Call(json, comparison.Vibration);
                        json.WriteString("from", comparison.VibrationIsOfGroup ? "group" : "motors");
                    }
                );
                json.Object("motor_temperature", () => Call(json, comparison.MotorTemperature));
                json.Object("esc_temperature", () => Call(json, comparison.EscTemperature));
            }
        );
        AccountJson.Write(json, comparison.Parts);
        QualityJson.Write(json, comparison.Quality);
        json.Array("motors", comparison.Motors, motor => Motor(json, motor));
        json.Array("levels", comparison.Levels, level => Level(json, level));
        json.Object("yaw_trim", () => YawTrim(json, comparison.YawTrim));
        json.Object("tilt_effect", () => TiltEffect(json, comparison.TiltEffect));
        json.Object(
            "spread",
            () =>
            {
                Spread(json, "motors", comparison.MotorSpread);
                Spread(json, "escs", comparison.EscSpread);
            }
        );
        json.Array("findings", comparison.Findings, finding => FlightJson.Write(json, finding));
        ScaleJson.Write(json, comparison.After[^1], comparison.Before);
        json.Array(
            "timeline",
            comparison.Timeline,
            use =>
                json.Object(() =>
                {
                    json.WriteString("flight", use.Name);
                    json.Segments("record", [use.Record]);
                    json.Segments("hover_found", use.Hover);
                    json.Segments("hover_used", use.Used);
                })
        );
        json.Array("conditions", comparison.Conditions, condition => Condition(json, condition));
        json.Object(
            "flights",
            () =>
            {
                json.Array("before", comparison.Before, flight => FlightJson.Write(json, flight));
                json.Array("after", comparison.After, flight => FlightJson.Write(json, flight));
            }
        );
    }

    private static void Call(Utf8JsonWriter json, Call call)
    {
        json.WriteString("call", call.Kind.Code());
        json.Number("before", call.Before);
        json.Number("after", call.After);
        json.Amount("change", "ci95", call.Change);
        json.WriteString("unit", call.Unit);
        json.WriteString("change_unit", call.ChangeUnit);
        json.Number("smallest_shown", call.SmallestShown);
        json.Why(call.Why);
    }

    private static void Motor(Utf8JsonWriter json, MotorComparison motor) =>
        json.Object(() =>
        {
            json.WriteString("id", motor.Id);
            json.Number("tilt_before_deg", motor.TiltBefore?.MagnitudeDeg);
            json.Number("tilt_after_deg", motor.TiltAfter?.MagnitudeDeg);
            json.Object("tilt_before", () => Tilt(json, motor.TiltBefore, SurveyTime.AsFound));
            json.Object("tilt_after", () => Tilt(json, motor.TiltAfter, SurveyTime.AsLeft));
            json.Amount("rpm_before", "rpm_before_ci95", motor.RpmBefore);
            json.Amount("rpm_after", "rpm_after_ci95", motor.RpmAfter);
            json.Object(
                "load_share",
                () =>
                {
                    json.Number("before", motor.LoadShare.Before.Value);
                    json.Number("after", motor.LoadShare.After.Value);
                    json.Amount("change", "ci95", motor.LoadShare.Change);
                    json.WriteString(
                        "call",
                        motor.LoadShare.Call switch
                        {
                            LoadShareCall.More => "more",
                            LoadShareCall.Less => "less",
                            LoadShareCall.NoClearChange => "no-clear-change",
                            _ => "unknown",
                        }
                    );
                    json.Why(motor.LoadShare.Why);
                }
            );
            json.Amount("load_share_before", "load_share_before_ci95", motor.LoadShareBefore);
            json.Amount("load_share_after", "load_share_after_ci95", motor.LoadShareAfter);
            json.Amount("current_before_a", "current_before_ci95", motor.CurrentBeforeA);
            json.Amount("current_after_a", "current_after_ci95", motor.CurrentAfterA);
            json.Array("orders", motor.Orders, order => Order(json, order));
            json.Object("motor_temp", () => Call(json, motor.MotorTemp));
            json.Object("esc_temp", () => Call(json, motor.EscTemp));
            json.Number("load_ratio", motor.LoadRatio);
            json.Amount("motor_rise_at_equal_load_c", "motor_rise_at_equal_load_ci95", motor.MotorRiseAtEqualLoadC);
            json.WriteString("motor_rise_cause", motor.MotorRiseCause.Code());
            json.Amount("esc_rise_at_equal_load_c", "esc_rise_at_equal_load_ci95", motor.EscRiseAtEqualLoadC);
            json.WriteString("esc_rise_cause", motor.EscRiseCause.Code());
            json.Why(
                ("tilt_before_deg", TiltKnown(motor.TiltBefore, SurveyTime.AsFound)),
                ("tilt_after_deg", TiltKnown(motor.TiltAfter, SurveyTime.AsLeft)),
                ("rpm_before", motor.RpmBefore),
                ("rpm_after", motor.RpmAfter),
                ("load_share_before", motor.LoadShareBefore),
                ("load_share_after", motor.LoadShareAfter),
                ("current_before_a", motor.CurrentBeforeA),
                ("current_after_a", motor.CurrentAfterA),
                ("motor_rise_at_equal_load_c", motor.MotorRiseAtEqualLoadC),
                ("esc_rise_at_equal_load_c", motor.EscRiseAtEqualLoadC)
            );
        });

    private static Estimate TiltKnown(MotorTilt? tilt, SurveyTime when) =>
        tilt?.MagnitudeDeg is double known ? Estimate.Around(known, 0) : Estimate.Unknown(new NoGaugeReading(when));

    private static void Tilt(Utf8JsonWriter json, MotorTilt? tilt, SurveyTime when)
    {
        Estimate across = tilt?.AcrossDeg ?? Estimate.Unknown(new NoGaugeReading(when));
        Estimate along = tilt?.AlongDeg ?? Estimate.Unknown(new NoGaugeReading(when));
        json.Amount("across_deg", "across_ci95", across);
        json.Amount("along_deg", "along_ci95", along);
        json.Why(("across_deg", across), ("along_deg", along));
    }

    private static void Order(Utf8JsonWriter json, OrderChange order) =>
        json.Object(() =>
        {
            json.WriteNumber("order", order.Order);
            json.Amount("before_mps2", "before_ci95", order.BeforeMps2);
            json.Amount("after_mps2", "after_ci95", order.AfterMps2);
            json.Amount("change_db", "ci95_db", order.ChangeDb);
            json.WriteString("call", order.Call.Code());
            json.Why(("before_mps2", order.BeforeMps2), ("after_mps2", order.AfterMps2), ("change_db", order.ChangeDb));
        });

    private static void Level(Utf8JsonWriter json, LevelChange level) =>
        json.Object(() =>
        {
            json.WriteString("channel", level.Channel);
            json.WriteString("unit", level.Unit);
            json.Amount("before_rms", "before_ci95", level.BeforeRms);
            json.Amount("after_rms", "after_ci95", level.AfterRms);
            json.Amount("change_db", "ci95_db", level.ChangeDb);
            json.WriteString("call", level.Call.Code());
            json.Why(("before_rms", level.BeforeRms), ("after_rms", level.AfterRms), ("change_db", level.ChangeDb));
        });

    private static void YawTrim(Utf8JsonWriter json, YawTrimChange trim)
    {
        json.Amount("split_before", "split_before_ci95", trim.Before);
        json.Amount("split_after", "split_after_ci95", trim.After);
        json.Amount("predicted_before", "predicted_before_ci95", trim.PredictedBefore);
        json.Amount("predicted_after", "predicted_after_ci95", trim.PredictedAfter);
        json.WriteString("from", trim.From.Code());
        json.WriteString("meaning", ReasonText.Of(trim.Meaning) ?? "");
        json.Why(
            ("split_before", trim.Before),
            ("split_after", trim.After),
            ("predicted_before", trim.PredictedBefore),
            ("predicted_after", trim.PredictedAfter)
        );
    }

    private static void Spread(Utf8JsonWriter json, string name, TemperatureSpread? spread)
    {
        Estimate none = Estimate.Unknown(new NotMeasured());
        (Estimate before, Estimate after, Estimate change) = (spread?.BeforeC ?? none, spread?.AfterC ?? none, spread?.ChangeC ?? none);
        json.Object(
            name,
            () =>
            {
                json.Amount("before_c", "before_ci95", before);
                json.Amount("after_c", "after_ci95", after);
                json.Amount("change_c", "ci95", change);
                json.WriteString("call", (spread?.Call ?? CallKind.Unknown).Code());
                json.Why(("before_c", before), ("after_c", after), ("change_c", change));
            }
        );
    }

    private static void TiltEffect(Utf8JsonWriter json, TiltEffect effect)
    {
        json.Amount("slope_per_deg", "ci95", effect.SlopePerDeg);
        json.WriteNumber("n", effect.MotorCount);
        json.WriteString("method", TiltWords.Method(effect.Method));
        json.Why(effect.SlopePerDeg.Why);
    }

    private static void Condition(Utf8JsonWriter json, Condition condition) =>
        json.Object(() =>
        {
            json.WriteString("name", ConditionText.Name(condition.Kind));
            json.WriteString("before", ConditionText.Of(condition.Before));
            json.WriteString("after", ConditionText.Of(condition.After));
            if (condition.Matched is bool matched)
            {
                json.WriteBoolean("matched", matched);
            }
            else
            {
                json.WriteNull("matched");
            }

            json.WriteString("why", ReasonText.Full(condition.Why));
            json.Reason(condition.Why);
        });
}
