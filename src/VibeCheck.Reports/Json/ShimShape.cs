using System.Text.Json.Nodes;
using static VibeCheck.Reports.Json.Shape;

namespace VibeCheck.Reports.Json;

/// <summary>Shape of a shim plan.</summary>
internal static class ShimShape
{
    internal static JsonObject Result() =>
        Fields(
            ("schema", Fixed("vibecheck.shims/1")),
            ("tool_version", String()),
            ("answer", String()),
            ("expect", String()),
            ("tolerance_deg", Number()),
            ("gauge", OrNull(Gauge())),
            ("motors", List(Motor())),
            ("yaw", Yaw()),
            ("pieces", List(Fields(("thickness_mm", Number()), ("count", Whole())))),
            ("as_left", List(Fields([("id", String()), .. Tilt()]))),
            ("fitted", List(Fields(("id", String()), ("text", String()), ("bolts", List(Ref("bolt"))), ("leaves_deg", NumberOrNull())))),
            ("knocks", List(Ref("move"))),
            ("since_last", List(Ref("move"))),
            ("cautions", List(String()))
        );

    internal static IReadOnlyList<(string, JsonObject)> Parts() =>
        [
            ("cause", Cause()),
            ("bolt", Fields(("place", String()), ("stack_mm", List(Number())))),
            (
                "move",
                Fields(
                    ("motor", String()),
                    ("direction", Word("across", "along")),
                    ("moved_deg", NumberOrNull()),
                    ("ci95", Range()),
                    ("moved", Flag())
                )
            ),
        ];

    private static JsonObject Gauge() =>
        Fields([
            ("resolution_deg", Number()),
            ("resolution_given", Flag()),
            ("repeatability_deg", Number()),
            ("repeatability_from", Word("stated and repeats", "usual and repeats", "stated", "usual")),
            ("zero_error_deg", NumberOrNull()),
            ("zero_error_ci95", Range()),
            .. Why(),
        ]);

    private static JsonObject Motor() =>
        Fields([
            ("id", String()),
            .. Tilt(),
            ("action", Word("shim", "leave", "measure-again")),
            ("side", WordOrNull("right", "left", "in", "out")),
            ("thickness_mm", NumberOrNull()),
            ("bolts", List(Ref("bolt"))),
            ("residual_deg", NumberOrNull()),
            ("rocking_mm", NumberOrNull()),
            ("more_readings", WholeOrNull()),
            .. Why(),
        ]);

    private static (string Name, JsonObject Shape)[] Tilt() =>
        [
            ("tilt_across_deg", NumberOrNull()),
            ("tilt_along_deg", NumberOrNull()),
            ("u95_deg", NumberOrNull()),
            ("tilt_why", StringOrNull()),
        ];

    private static JsonObject Yaw() =>
        Fields(
            ("moment_nm", NumberOrNull()),
            ("moment_ci95", Range()),
            ("split_predicted", NumberOrNull()),
            ("split_ci95", Range()),
            ("moment_after_nm", NumberOrNull()),
            ("moment_after_ci95", Range()),
            ("split_after_predicted", NumberOrNull()),
            ("split_after_ci95", Range()),
            ("cooler_group", WordOrNull("cw", "ccw")),
            ("cooler_group_thrust_change", NumberOrNull()),
            ("thrust_lost", Number()),
            ("why", StringOrNull())
        );
}
