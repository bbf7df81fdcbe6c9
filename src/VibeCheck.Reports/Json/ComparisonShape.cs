using System.Text.Json.Nodes;
using static VibeCheck.Reports.Json.Shape;

namespace VibeCheck.Reports.Json;

/// <summary>Shape of the result of a comparison.</summary>
internal static class ComparisonShape
{
    private static readonly string[] _calls = ["improved", "no-clear-change", "worse", "unknown"];

    internal static JsonObject Result() =>
        Fields(
            ("schema", Fixed("vibecheck.compare/1")),
            ("tool_version", String()),
            ("title", String()),
            ("airframe", String()),
            ("verdict", Word("improved", "no-clear-change", "mixed", "worse", "not-comparable")),
            ("verdict_text", String()),
            ("reasons", List(String())),
            ("causes", List(Ref("cause"))),
            ("next_steps", List(String())),
            (
                "calls",
                Fields(
                    ("all_vibration", Ref("call")),
                    ("vibration", Fields([.. CallFields(), ("from", Word("motors", "group"))])),
                    ("motor_temperature", Ref("call")),
                    ("esc_temperature", Ref("call"))
                )
            ),
            ("parts", List(Fields([("part", FlightShape.Part()), .. Change("mps2"), ("call", Word(_calls)), ("why", StringOrNull())]))),
            ("quality", List(Ref("quality"))),
            ("motors", List(Motor())),
            (
                "levels",
                List(Fields([("channel", String()), ("unit", String()), .. Change("rms"), ("call", Word(_calls)), ("why", StringOrNull())]))
            ),
            ("yaw_trim", YawTrim()),
            ("tilt_effect", Fields([("slope_per_deg", NumberOrNull()), ("ci95", Range()), ("n", Whole()), ("method", String()), .. Why()])),
            ("spread", Fields(("motors", Ref("spread")), ("escs", Ref("spread")))),
            ("findings", List(Ref("finding"))),
            ("scale", ScaleJson.Declared()),
            (
                "timeline",
                List(
                    Fields(
                        ("flight", String()),
                        ("record", List(Ref("segment"))),
                        ("hover_found", List(Ref("segment"))),
                        ("hover_used", List(Ref("segment")))
                    )
                )
            ),
            (
                "conditions",
                List(
                    Fields([("name", String()), ("before", StringOrNull()), ("after", StringOrNull()), ("matched", FlagOrNull()), .. Why()])
                )
            ),
            ("flights", Fields(("before", List(Ref("flight"))), ("after", List(Ref("flight")))))
        );

    internal static IReadOnlyList<(string, JsonObject)> Parts() =>
        [
            ("call", Fields(CallFields())),
            (
                "tilt",
                Fields(
                    ("across_deg", NumberOrNull()),
                    ("across_ci95", Range()),
                    ("along_deg", NumberOrNull()),
                    ("along_ci95", Range()),
                    ("why", StringOrNull())
                )
            ),
            (
                "spread",
                Fields(
                    ("before_c", NumberOrNull()),
                    ("before_ci95", Range()),
                    ("after_c", NumberOrNull()),
                    ("after_ci95", Range()),
                    ("change_c", NumberOrNull()),
                    ("ci95", Range()),
                    ("call", Word(_calls)),
                    ("why", StringOrNull())
                )
            ),
            ("flight", FlightShape.Result()),
        ];

    private static (string Name, JsonObject Shape)[] CallFields() =>
        [
            ("call", Word(_calls)),
            ("before", NumberOrNull()),
            ("after", NumberOrNull()),
            ("change", NumberOrNull()),
            ("ci95", Range()),
            ("unit", Word("m/s²", "°C")),
            ("change_unit", Word("dB", "°C")),
            ("smallest_shown", NumberOrNull()),
            .. Why(),
        ];

    private static (string Name, JsonObject Shape)[] Change(string quantity) =>
        [
            ("before_" + quantity, NumberOrNull()),
            ("before_ci95", Range()),
            ("after_" + quantity, NumberOrNull()),
            ("after_ci95", Range()),
            ("change_db", NumberOrNull()),
            ("ci95_db", Range()),
        ];

    private static JsonObject Motor()
    {
        JsonObject cause = Word("not-asked", "load", "unit", "both", "not-told");
        return Fields(
            ("id", String()),
            ("tilt_before_deg", NumberOrNull()),
            ("tilt_after_deg", NumberOrNull()),
            ("tilt_before", Ref("tilt")),
            ("tilt_after", Ref("tilt")),
            ("rpm_before", NumberOrNull()),
            ("rpm_before_ci95", Range()),
            ("rpm_after", NumberOrNull()),
            ("rpm_after_ci95", Range()),
            (
                "load_share",
                Fields([
                    ("before", NumberOrNull()),
                    ("after", NumberOrNull()),
                    ("change", NumberOrNull()),
                    ("ci95", Range()),
                    ("call", Word("more", "less", "no-clear-change", "unknown")),
                    .. Why(),
                ])
            ),
            ("load_share_before", NumberOrNull()),
            ("load_share_before_ci95", Range()),
            ("load_share_after", NumberOrNull()),
            ("load_share_after_ci95", Range()),
            ("current_before_a", NumberOrNull()),
            ("current_before_ci95", Range()),
            ("current_after_a", NumberOrNull()),
            ("current_after_ci95", Range()),
            ("orders", List(Fields([("order", Whole()), .. Change("mps2"), ("call", Word(_calls)), ("why", StringOrNull())]))),
            ("motor_temp", Ref("call")),
            ("esc_temp", Ref("call")),
            ("load_ratio", NumberOrNull()),
            ("motor_rise_at_equal_load_c", NumberOrNull()),
            ("motor_rise_at_equal_load_ci95", Range()),
            ("motor_rise_cause", cause),
            ("esc_rise_at_equal_load_c", NumberOrNull()),
            ("esc_rise_at_equal_load_ci95", Range()),
            ("esc_rise_cause", (JsonObject)cause.DeepClone()),
            ("why", StringOrNull())
        );
    }

    private static JsonObject YawTrim() =>
        Fields(
            ("split_before", NumberOrNull()),
            ("split_before_ci95", Range()),
            ("split_after", NumberOrNull()),
            ("split_after_ci95", Range()),
            ("predicted_before", NumberOrNull()),
            ("predicted_before_ci95", Range()),
            ("predicted_after", NumberOrNull()),
            ("predicted_after_ci95", Range()),
            ("from", Word("rpm", "command")),
            ("meaning", String()),
            ("why", StringOrNull())
        );
}
