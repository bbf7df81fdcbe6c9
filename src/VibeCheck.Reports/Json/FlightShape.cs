using System.Text.Json.Nodes;
using static VibeCheck.Reports.Json.Shape;

namespace VibeCheck.Reports.Json;

/// <summary>Shape of the result of one flight.</summary>
internal static class FlightShape
{
    internal static JsonObject Result() =>
        Fields(
            ("schema", Fixed("vibecheck.flight/1")),
            ("tool_version", String()),
            ("airframe", String()),
            ("input", Input()),
            ("ambient", Fields(("temp_c", NumberOrNull()), ("why", StringOrNull()))),
            ("hover", Fields([("seconds_used", Number()), ("segments", List(Ref("segment"))), .. Why()])),
            ("rotor_vibration", Fields([("rms_mps2", NumberOrNull()), ("ci95", Range()), .. Why()])),
            ("accounting", OrNull(Accounting())),
            ("group", OrNull(Group())),
            (
                "levels",
                List(
                    Fields([
                        ("channel", String()),
                        ("unit", String()),
                        ("rms", NumberOrNull()),
                        ("ci95", Range()),
                        ("band_hz", Range()),
                        .. Why(),
                    ])
                )
            ),
            ("motors", List(Motor())),
            ("yaw_trim", Fields([("split", NumberOrNull()), ("ci95", Range()), ("from", Word("rpm", "command")), .. Why()])),
            ("peaks", List(Peak())),
            (
                "resonances",
                List(
                    Fields(
                        ("channel", String()),
                        ("hz", NumberOrNull()),
                        ("hz_ci95", Range()),
                        ("damping_ratio", NumberOrNull()),
                        ("damping_ci95", Range()),
                        ("method", Word("free-decay", "hover-spectrum")),
                        ("why", StringOrNull())
                    )
                )
            ),
            ("quality", List(Ref("quality"))),
            ("findings", List(Ref("finding"))),
            ("scale", ScaleJson.Declared()),
            ("warnings", List(Fields(("code", String()), ("text", String()), ("reason", Reason()))))
        );

    internal static IReadOnlyList<(string, JsonObject)> Parts() =>
        [
            ("cause", Cause()),
            ("segment", Fields(("from_s", Number()), ("to_s", Number()))),
            ("file", FileFields()),
            (
                "line",
                Fields([
                    ("motor", StringOrNull()),
                    ("multiple", Number()),
                    ("mps2", NumberOrNull()),
                    ("ci95", Range()),
                    ("prominence", NumberOrNull()),
                    .. Why(),
                ])
            ),
            (
                "temperature",
                Fields([("rise_steady_c", NumberOrNull()), ("ci95", Range()), ("tau_s", NumberOrNull()), ("reached", Flag()), .. Why()])
            ),
            (
                "quality",
                Fields(
                    ("code", String()),
                    ("track", String()),
                    ("channel", StringOrNull()),
                    ("from_s", NumberOrNull()),
                    ("to_s", NumberOrNull()),
                    ("effect", Word("repaired", "widened", "withheld", "not-comparable")),
                    ("values", new JsonObject { ["type"] = "object" }),
                    ("text", String())
                )
            ),
            ("finding_name", Fields(("code", String()), ("motor", StringOrNull()))),
            (
                "finding",
                Fields(
                    ("code", String()),
                    ("severity", Word("note", "look", "act")),
                    ("motor", StringOrNull()),
                    ("text", String()),
                    ("evidence", String()),
                    ("next_check", String()),
                    ("confidence", Word("possible", "likely", "clear")),
                    ("likely_causes", List(String())),
                    ("follows", List(Ref("finding_name"))),
                    ("root", OrNull(Ref("finding_name"))),
                    ("from_s", NumberOrNull()),
                    ("why", StringOrNull()),
                    ("reason", Reason())
                )
            ),
        ];

    private static JsonObject Input() =>
        Fields(
            ("imu", Ref("file")),
            ("esc", OrNull(Ref("file"))),
            ("clock_offset_s", NumberOrNull()),
            ("clock_offset_u95_s", NumberOrNull()),
            ("clock_drift_ppm", NumberOrNull()),
            ("clock_drift_u95_ppm", NumberOrNull()),
            ("started_utc", StringOrNull()),
            ("content_sha256", StringOrNull()),
            ("why", StringOrNull()),
            ("reason", Reason())
        );

    private static JsonObject FileFields() =>
        Fields(
            ("path", String()),
            ("rows", Whole()),
            ("rows_unusable", Whole()),
            ("rate_hz", NumberOrNull()),
            ("jitter_s", NumberOrNull()),
            ("gaps", List(Ref("segment"))),
            ("clipped_samples", Whole()),
            (
                "columns",
                List(
                    Fields(
                        ("header", String()),
                        ("channel", StringOrNull()),
                        ("unit", StringOrNull()),
                        ("how_known", StringOrNull()),
                        ("min", NumberOrNull()),
                        ("max", NumberOrNull()),
                        ("usable_share", NumberOrNull()),
                        ("why", StringOrNull())
                    )
                )
            ),
            ("form", List(String())),
            ("warnings", List(Fields(("code", String()), ("text", String())))),
            ("why", StringOrNull())
        );

    private static JsonObject Accounting() =>
        Fields([
            ("total_mps2", NumberOrNull()),
            ("ci95", Range()),
            ("band_hz", Range()),
            (
                "parts",
                List(
                    SomeFields(
                        ["motors"],
                        [
                            ("part", Part()),
                            ("mps2", NumberOrNull()),
                            ("ci95", Range()),
                            ("share", NumberOrNull()),
                            .. Why(),
                            ("motors", List(OfMotor())),
                        ]
                    )
                )
            ),
            ("half_orders", List(Ref("line"))),
            ("rotor_locked", List(Ref("line"))),
            ("steady_lines", List(Fields([("hz", Number()), ("mps2", NumberOrNull()), ("ci95", Range()), ("told", Flag()), .. Why()]))),
            ("knocks", Fields(("count", Whole()), ("first_s", NumberOrNull()), ("peak_mps2", NumberOrNull()), ("why", StringOrNull()))),
            .. Why(),
        ]);

    private static JsonObject OfMotor() =>
        Fields(("motor", StringOrNull()), ("mps2", NumberOrNull()), ("ci95", Range()), ("share_of_part", NumberOrNull()));

    /// <summary>A part of all vibration.</summary>
    internal static JsonObject Part() => Word("rotor-orders", "half-orders", "rotor-locked", "steady-lines", "broadband", "knocks");

    private static JsonObject Group() =>
        Fields([
            ("rpm", NumberOrNull()),
            ("rpm_ci95", Range()),
            ("rms_mps2", NumberOrNull()),
            ("ci95", Range()),
            ("orders", List(Fields([("order", Whole()), ("rms_mps2", NumberOrNull()), ("ci95", Range()), .. Why()]))),
            .. Why(),
        ]);

    private static JsonObject Motor() =>
        Fields(
            ("id", String()),
            ("rpm_mean", NumberOrNull()),
            ("rpm_ci95", Range()),
            ("rpm_from", Word("vibration", "log", "none")),
            ("load_share", NumberOrNull()),
            ("load_share_ci95", Range()),
            ("current_a", NumberOrNull()),
            ("current_ci95", Range()),
            ("orders", List(Order())),
            ("motor_temp", Ref("temperature")),
            ("esc_temp", Ref("temperature")),
            ("unbalance", Fields([("gmm", NumberOrNull()), ("ci95", Range()), .. Why()])),
            ("why", StringOrNull())
        );

    private static JsonObject Order() =>
        SomeFields(
            ["group", "group_rms_mps2", "group_ci95"],
            [
                ("order", Whole()),
                ("rms_mps2", NumberOrNull()),
                ("ci95", Range()),
                ("per_axis", OrNull(Fields(("x", Number()), ("y", Number()), ("z", Number())))),
                ("separable", Flag()),
                ("group", List(String())),
                ("group_rms_mps2", NumberOrNull()),
                ("group_ci95", Range()),
                ("folded_from_hz", NumberOrNull()),
                .. Why(),
            ]
        );

    private static JsonObject Peak() =>
        Fields(
            ("channel", String()),
            ("hz", Number()),
            ("amplitude", Number()),
            ("unit", String()),
            ("assigned", List(Fields(("motor", String()), ("order", Whole())))),
            ("kind", Word("rotor", "structure", "unknown")),
            ("folded_from_hz", NumberOrNull())
        );
}
