using System.Text.Json;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Flights.Lines;
using VibeCheck.Core.Flights.Structure;
using VibeCheck.Core.Flights.Temperatures;
using VibeCheck.Core.Orders;
using VibeCheck.Core.Statistics;
using VibeCheck.Core.Tracks;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Text;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports;

/// <summary>The machine-readable result of one flight, schema vibecheck.flight/1.</summary>
public static class FlightJson
{
    /// <summary>Writes the result as UTF-8. Units stand in the field names; what is unknown is null with a why beside it.</summary>
    public static void Write(FlightAnalysis flight, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(flight);
        JsonFields.Write(stream, json => Write(json, flight));
    }

    internal static void Write(Utf8JsonWriter json, FlightAnalysis flight) =>
        json.Object(() =>
        {
            json.WriteString("schema", "vibecheck.flight/1");
            json.WriteString("tool_version", ToolVersion.Text);
            json.WriteString("airframe", flight.Airframe.Name);
            json.Object("input", () => Input(json, flight.Input));
            json.Object(
                "ambient",
                () =>
                {
                    json.Number("temp_c", flight.AmbientC);
                    json.Why(flight.AmbientC is null ? "ambient temperature was neither given nor found from a cold start" : null);
                }
            );
            json.Object(
                "hover",
                () =>
                {
                    json.Number("seconds_used", flight.Hover.SecondsUsed);
                    json.Segments("segments", flight.Hover.Segments);
                    json.Why(flight.Hover.Why);
                }
            );
            json.Object(
                "rotor_vibration",
                () =>
                {
                    json.Amount("rms_mps2", "ci95", flight.RotorVibrationMps2);
                    json.Why(flight.RotorVibrationMps2.Why);
                }
            );
            AccountJson.Write(json, flight.Accounting, flight.Motors);
            GroupJson.Write(json, flight.Group);
            json.Array("levels", flight.Levels, level => Level(json, level));
            json.Array("motors", flight.Motors, motor => Motor(json, motor));
            json.Object(
                "yaw_trim",
                () =>
                {
                    json.Amount("split", "ci95", flight.YawTrim.Split);
                    json.WriteString("from", flight.YawTrim.From.Code());
                    json.Why(flight.YawTrim.Split.Why);
                }
            );
            json.Array("peaks", flight.Peaks, peak => Peak(json, peak));
            json.Array("resonances", flight.Resonances, mode => Resonance(json, mode));
            QualityJson.Write(json, flight.Quality);
            json.Array("findings", flight.Findings, finding => Write(json, finding, flight.Onsets));
            ScaleJson.Write(json, flight, []);
            json.Array("warnings", flight.Warnings, warning => Warning(json, warning));
        });

    private static void Input(Utf8JsonWriter json, FlightInput input)
    {
        json.Object("imu", () => ReadingJson.Fields(json, input.Imu));
        if (input.Esc is FileRecord esc)
        {
            json.Object("esc", () => ReadingJson.Fields(json, esc));
        }
        else
        {
            json.WriteNull("esc");
        }

        json.Number("clock_offset_s", input.ClockOffsetS);
        json.Number("clock_offset_u95_s", input.ClockOffsetU95S);
        json.Number("clock_drift_ppm", input.ClockDriftPpm);
        json.Number("clock_drift_u95_ppm", input.ClockDriftU95Ppm);
        json.WriteString(
            "started_utc",
            input.StartedUtc?.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", System.Globalization.CultureInfo.InvariantCulture)
        );
        json.WriteString("content_sha256", input.ContentHash);
        json.WriteString("why", ClockText.Of(input));
        json.Reason(input.ClockWhy);
    }

    private static void Level(Utf8JsonWriter json, Level level) =>
        json.Object(() =>
        {
            json.WriteString("channel", level.Channel);
            json.WriteString("unit", level.Unit);
            json.Amount("rms", "ci95", level.Rms);
            json.Range("band_hz", level.BandHz);
            json.Why(level.Rms.Why);
        });

    private static void Motor(Utf8JsonWriter json, MotorAnalysis motor) =>
        json.Object(() =>
        {
            json.WriteString("id", motor.Id);
            json.Amount("rpm_mean", "rpm_ci95", motor.RpmMean);
            json.WriteString(
                "rpm_from",
                motor.SpeedIsFound ? "vibration"
                    : motor.RpmMean.IsKnown ? "log"
                    : "none"
            );
            json.Amount("load_share", "load_share_ci95", motor.LoadShare);
            json.Amount("current_a", "current_ci95", motor.CurrentA);
            json.Array("orders", motor.Orders, order => Order(json, order));
            json.Object("motor_temp", () => Temperature(json, motor.MotorTemp));
            json.Object("esc_temp", () => Temperature(json, motor.EscTemp));
            json.Object(
                "unbalance",
                () =>
                {
                    json.Amount("gmm", "ci95", motor.UnbalanceGmm);
                    json.Why(motor.UnbalanceGmm.Why);
                }
            );
            json.Why(("rpm_mean", motor.RpmMean), ("load_share", motor.LoadShare), ("current_a", motor.CurrentA));
        });

    private static void Order(Utf8JsonWriter json, OrderLevel order) =>
        json.Object(() =>
        {
            json.WriteNumber("order", order.Order);
            json.Amount("rms_mps2", "ci95", order.RmsMps2);
            if (order.PerAxisMps2 is [double x, double y, double z])
            {
                json.Object(
                    "per_axis",
                    () =>
                    {
                        json.Number("x", x);
                        json.Number("y", y);
                        json.Number("z", z);
                    }
                );
            }
            else
            {
                json.WriteNull("per_axis");
            }

            json.WriteBoolean("separable", order.Separable);
            if (!order.Separable)
            {
                json.Texts("group", order.Group);
                json.Amount("group_rms_mps2", "group_ci95", order.GroupMps2 ?? Estimate.Unknown(new NotMeasured()));
            }

            json.Number("folded_from_hz", order.FoldedFromHz);
            json.Why(order.RmsMps2.Why ?? order.GroupMps2?.Why ?? (order.PerAxisMps2 is null ? new PerAxisNotMeasured() : null));
        });

    private static void Temperature(Utf8JsonWriter json, TemperatureRise rise)
    {
        json.Amount("rise_steady_c", "ci95", rise.RiseSteadyC);
        json.Number("tau_s", rise.TauS);
        json.WriteBoolean("reached", rise.Reached);
        json.Why(rise.RiseSteadyC.Why ?? (rise.TauS is null ? new TimeConstantNotFixed() : null));
    }

    private static void Peak(Utf8JsonWriter json, SpectralPeak peak) =>
        json.Object(() =>
        {
            json.WriteString("channel", peak.Channel);
            json.Number("hz", peak.Hz);
            json.Number("amplitude", peak.Amplitude);
            json.WriteString("unit", peak.Unit);
            json.Array(
                "assigned",
                peak.Assigned,
                who =>
                    json.Object(() =>
                    {
                        json.WriteString("motor", who.Motor);
                        json.WriteNumber("order", who.Order);
                    })
            );
            json.WriteString("kind", peak.Kind.Code());
            json.Number("folded_from_hz", peak.FoldedFromHz);
        });

    private static void Resonance(Utf8JsonWriter json, StructureMode mode) =>
        json.Object(() =>
        {
            json.WriteString("channel", mode.Channel);
            json.Amount("hz", "hz_ci95", mode.Hz);
            json.Amount("damping_ratio", "damping_ci95", mode.DampingRatio);
            json.WriteString("method", mode.Method == ModeEvidence.FreeDecay ? "free-decay" : "hover-spectrum");
            json.Why(("hz", mode.Hz), ("damping_ratio", mode.DampingRatio));
        });

    internal static void Write(Utf8JsonWriter json, Finding finding, IReadOnlyList<FindingOnset>? onsets = null) =>
        json.Object(() =>
        {
            json.WriteString("code", finding.Code);
            double? fromS = onsets?.FirstOrDefault(o => o.Code == finding.Code && o.Motor == finding.Motor)?.FromS;
            json.Number("from_s", fromS);
            json.WriteString(
                "why",
                fromS is null ? "there from the start of the hover, or its start is not known"
                    : finding.Root is null ? "root: it follows from no other finding"
                    : null
            );
            json.WriteString("severity", finding.Severity.Code());
            json.WriteString("motor", finding.Motor);
            FindingText text = FindingText.Of(finding);
            json.WriteString("text", text.Text);
            json.WriteString("evidence", text.Evidence);
            json.WriteString("next_check", text.NextCheck);
            json.WriteString("confidence", FindingRuleText.Code(finding.Confidence));
            json.Array("likely_causes", FindingRuleText.CausesOf(finding.Code), json.WriteStringValue);
            json.Array("follows", finding.Follows, name => Write(json, name));
            json.WritePropertyName("root");
            if (finding.Root is { } root)
            {
                Write(json, root);
            }
            else
            {
                json.WriteNullValue();
            }

            json.Reason(finding.Cause);
        });

    private static void Write(Utf8JsonWriter json, FindingName name) =>
        json.Object(() =>
        {
            json.WriteString("code", name.Code);
            json.WriteString("motor", name.Motor);
        });

    private static void Warning(Utf8JsonWriter json, FlightWarning warning) =>
        json.Object(() =>
        {
            json.WriteString("code", warning.Code);
            json.WriteString("text", ReasonText.Of(warning.Cause));
            json.Reason(warning.Cause);
        });
}
