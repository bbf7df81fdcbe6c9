using System.Globalization;
using System.Text;
using VibeCheck.Core.Airframes;

namespace VibeCheck.Logs.Airframes;

/// <summary>Writes airframe.toml, so that what was answered once can be read and changed by hand.</summary>
public static class AirframeText
{
    private static readonly string[] s_bolts =
    [
        "across_mm",
        "along_mm",
        "across_in",
        "along_in",
        "pattern",
        "places_mm",
        "places_in",
        "circle_mm",
        "circle_in",
        "turn_deg",
    ];

    /// <summary>All keys that are read and written, each with its section.</summary>
    internal static IReadOnlySet<string> Keys { get; } =
        new HashSet<string>(
            [
                "name",
                "mass_kg",
                "torque_per_thrust_m",
                .. s_bolts.Select(k => "bolts." + k),
                "shim_kit.thickness_mm",
                "shim_kit.thickness_in",
                "shim_kit.max_stack",
                "shim_kit.count",
                "gauge.resolution_deg",
                "gauge.accuracy_deg",
                "gauge.repeatability_deg",
                "screws.length_mm",
                "screws.diameter_mm",
                "screws.clamped_mm",
                "screws.thread_depth_mm",
                "motor.id",
                "motor.azimuth_deg",
                "motor.arm_m",
                "motor.spin",
                "motor.level",
                "motor.blades",
                "motor.pole_pairs",
                .. s_bolts.Select(k => "motor.bolts." + k),
            ],
            StringComparer.Ordinal
        );

    /// <summary>The text of an airframe file.</summary>
    /// <param name="airframe">The airframe.</param>
    /// <param name="bolts">How the bolts were described; null to describe those of the airframe, if it has any.</param>
    public static string Of(Airframe airframe, BoltWords? bolts)
    {
        ArgumentNullException.ThrowIfNull(airframe);
        var text = new StringBuilder();
        text.Append("# Made by vibecheck airframe. Change it as you like; vibecheck airframe --show draws it.\n");
        Line(text, $"name = {Quoted(airframe.Name)}");
        Line(
            text,
            airframe.MassKg is double kg
                ? $"mass_kg = {Number(kg)}"
                : (FormattableString)$"# mass_kg = 6.8                # take-off mass: needed for unbalance in g·mm and for yaw figures"
        );
        Line(
            text,
            airframe.TorquePerThrustM is double m
                ? $"torque_per_thrust_m = {Number(m)}"
                : (FormattableString)$"# torque_per_thrust_m = 0.018  # rotor torque over thrust, if you know it"
        );
        text.Append('\n');
        foreach (
            string line in bolts?.Toml
                ?? (airframe.Bolts is BoltPattern pattern ? BoltText.Lines("bolts", pattern) : null)
                ??
                [
                    "# [bolts]                      # needed for shims: distance between bolt centres",
                    "# across_mm = 28.6",
                    "# along_mm = 28.6",
                ]
        )
        {
            Line(text, $"{line}");
        }

        text.Append('\n');
        if (airframe.ShimKit is ShimKit kit)
        {
            Line(text, $"[shim_kit]");
            Line(text, $"thickness_mm = [{string.Join(", ", kit.ThicknessesMm.Select(Number))}]");
            Line(text, $"max_stack = {kit.MaxStack}");
            if (kit.Counts is { } counts)
            {
                Line(text, $"count = [{string.Join(", ", counts)}]");
            }
        }
        else
        {
            Line(text, $"# [shim_kit]                   # shims at hand; without it 0.1, 0.2 and 0.3 mm are planned with");
            Line(text, $"# thickness_mm = [0.1, 0.2, 0.3]");
        }

        AppendGauge(text, airframe.Gauge);
        AppendScrews(text, airframe.Screws);
        foreach (Motor motor in airframe.Motors)
        {
            text.Append("\n[[motor]]\n");
            Line(text, $"id = {Quoted(motor.Id)}");
            Line(text, $"azimuth_deg = {Number(motor.AzimuthDeg)}");
            Line(text, $"arm_m = {Number(motor.ArmM)}");
            Line(text, $"spin = \"{(motor.Spin == Spin.Clockwise ? "cw" : "ccw")}\"");
            Line(text, $"level = \"{motor.Level.ToString().ToLowerInvariant()}\"");
            Line(text, $"blades = {motor.Blades}");
            if (motor.PolePairs is int pairs)
            {
                Line(text, $"pole_pairs = {pairs}");
            }

            foreach (string line in motor.Bolts is BoltPattern own ? BoltText.Lines("motor.bolts", own) : [])
            {
                Line(text, $"{line}");
            }
        }

        return text.ToString();
    }

    private static void AppendGauge(StringBuilder text, GaugeData? gauge)
    {
        if (gauge is not null)
        {
            text.Append("\n[gauge]\n");
            AppendKey(text, "resolution_deg", gauge.ResolutionDeg);
            AppendKey(text, "accuracy_deg", gauge.AccuracyDeg);
            AppendKey(text, "repeatability_deg", gauge.RepeatabilityDeg);
        }
    }

    private static void AppendScrews(StringBuilder text, MountScrews? screws)
    {
        if (screws is not null)
        {
            text.Append("\n[screws]\n");
            AppendKey(text, "length_mm", screws.LengthMm);
            AppendKey(text, "diameter_mm", screws.DiameterMm);
            AppendKey(text, "clamped_mm", screws.ClampedMm);
            AppendKey(text, "thread_depth_mm", screws.ThreadDepthMm);
        }
    }

    private static void AppendKey(StringBuilder text, string key, double? value)
    {
        if (value is double known)
        {
            Line(text, $"{key} = {Number(known)}");
        }
    }

    private static void Line(StringBuilder text, FormattableString line) =>
        text.Append(line.ToString(CultureInfo.InvariantCulture)).Append('\n');

    private static string Number(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);

    private static string Quoted(string text) =>
        "\""
        + string.Concat(text.Where(c => !char.IsControl(c)))
            .Replace("\\", "\\\\", StringComparison.Ordinal)
            .Replace("\"", "\\\"", StringComparison.Ordinal)
        + "\"";
}
