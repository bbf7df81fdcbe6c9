using System.Text.Json;
using VibeCheck.Core.Surveys;
using VibeCheck.Reports.Text;
using VibeCheck.Reports.Words;

namespace VibeCheck.Reports.Json;

/// <summary>Writes <c>vibecheck.shims/1</c> and <c>vibecheck.chart/1</c>.</summary>
public static class ShimJson
{
    /// <summary>Writes a plan.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="sinceLast">Moves since an earlier survey; empty when there was none.</param>
    /// <param name="stream">Takes the text, UTF-8.</param>
    public static void Write(ShimPlan plan, IReadOnlyList<MountMovement> sinceLast, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(sinceLast);
        JsonFields.Write(
            stream,
            json =>
                json.Object(() =>
                {
                    json.WriteString("schema", "vibecheck.shims/1");
                    json.WriteString("tool_version", ToolVersion.Text);
                    json.WriteString("answer", ShimWords.Answer(plan));
                    json.WriteString("expect", ShimWords.Expect(plan));
                    json.WriteNumber("tolerance_deg", plan.Options.ToleranceDeg);
                    WriteGauge(json, plan.Survey.Gauge);
                    json.Array("motors", plan.Motors, m => json.Object(() => WriteMotor(json, m)));
                    json.Object("yaw", () => WriteYaw(json, plan.Forecast));
                    json.Array(
                        "pieces",
                        plan.Pieces,
                        p =>
                            json.Object(() =>
                            {
                                json.WriteNumber("thickness_mm", Rounded(p.ThicknessMm));
                                json.WriteNumber("count", p.Count);
                            })
                    );
                    json.Array(
                        "as_left",
                        plan.Survey.AsLeft,
                        t =>
                            json.Object(() =>
                            {
                                json.WriteString("id", t.MotorId);
                                WriteTilt(json, t);
                            })
                    );
                    json.Array(
                        "fitted",
                        plan.Survey.Fitted,
                        f =>
                            json.Object(() =>
                            {
                                json.WriteString("id", f.MotorId);
                                json.WriteString("text", f.Text);
                                json.Array(
                                    "bolts",
                                    f.Bolts ?? [],
                                    b =>
                                        json.Object(() =>
                                        {
                                            json.WriteString("place", b.Bolt.Place);
                                            json.Array("stack_mm", b.StackMm, t => json.WriteNumberValue(Rounded(t)));
                                        })
                                );
                                json.Number("leaves_deg", Rounded(ShimWords.Leaves(f, plan.Airframe, plan.Survey)));
                            })
                    );
                    WriteMoves(json, "knocks", plan.Survey.Knocks);
                    WriteMoves(json, "since_last", sinceLast);
                    json.Texts("cautions", ShimReasonText.Cautions(plan, c => ReasonText.Of(c)));
                })
        );
    }

    /// <summary>Writes a shim chart.</summary>
    public static void Write(ShimChart chart, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(chart);
        JsonFields.Write(
            stream,
            json =>
                json.Object(() =>
                {
                    json.WriteString("schema", "vibecheck.chart/1");
                    json.WriteString("tool_version", ToolVersion.Text);
                    json.WriteNumber("span_mm", chart.SpanMm);
                    json.Array(
                        "from_tilt",
                        chart.FromTilt,
                        r =>
                            json.Object(() =>
                            {
                                json.WriteNumber("tilt_deg", r.TiltDeg);
                                json.WriteNumber("shim_mm", Rounded(r.ShimMm));
                                json.WriteNumber("shim_in", Rounded(r.ShimIn));
                            })
                    );
                    json.Array(
                        "from_mm",
                        chart.FromMm,
                        r =>
                            json.Object(() =>
                            {
                                json.WriteNumber("shim_mm", r.ShimMm);
                                json.WriteNumber("tilt_deg", Rounded(r.TiltDeg));
                            })
                    );
                    json.Array(
                        "from_inch",
                        chart.FromInch,
                        r =>
                            json.Object(() =>
                            {
                                json.WriteNumber("shim_in", r.ShimIn);
                                json.WriteNumber("tilt_deg", Rounded(r.TiltDeg));
                            })
                    );
                })
        );
    }

    private static void WriteMoves(Utf8JsonWriter json, string name, IReadOnlyList<MountMovement> moves) =>
        json.Array(
            name,
            moves,
            k =>
                json.Object(() =>
                {
                    json.WriteString("motor", k.MotorId);
                    json.WriteString("direction", k.Direction == TiltDirection.Across ? "across" : "along");
                    json.Amount("moved_deg", "ci95", k.MovedDeg);
                    json.WriteBoolean("moved", k.Moved);
                })
        );

    private static void WriteGauge(Utf8JsonWriter json, GaugeQuality? gauge)
    {
        if (gauge is null)
        {
            json.WriteNull("gauge");
            return;
        }

        json.Object(
            "gauge",
            () =>
            {
                json.WriteNumber("resolution_deg", gauge.StepDeg);
                json.WriteBoolean("resolution_given", gauge.StepGiven);
                json.WriteNumber("repeatability_deg", Rounded(gauge.RepeatabilityDeg));
                json.WriteString(
                    "repeatability_from",
                    (gauge.RepeatCount > 0, gauge.RepeatabilityGiven) switch
                    {
                        (true, true) => "stated and repeats",
                        (true, false) => "usual and repeats",
                        (false, true) => "stated",
                        _ => "usual",
                    }
                );
                json.Amount("zero_error_deg", "zero_error_ci95", gauge.ZeroErrorDeg);
                json.Why(gauge.ZeroErrorDeg.Why);
            }
        );
    }

    private static void WriteMotor(Utf8JsonWriter json, MotorShims m)
    {
        json.WriteString("id", m.Motor.Id);
        WriteTilt(json, m.Tilt);
        json.WriteString("action", m.Action.Code());
        json.WriteString("side", m.Side?.Word());
        json.Number("thickness_mm", m.ThicknessMm);
        json.Array(
            "bolts",
            m.Stacks?.Bolts ?? [],
            b =>
                json.Object(() =>
                {
                    json.WriteString("place", b.Bolt.Place);
                    json.Array("stack_mm", b.StackMm, t => json.WriteNumberValue(Rounded(t)));
                })
        );
        json.Number("residual_deg", (m.Stacks?.ResidualDeg ?? m.Tilt?.MagnitudeDeg) is double r ? Rounded(r) : null);
        json.Number("rocking_mm", m.Stacks is ShimStacks s ? Rounded(s.RockingMm) : null);
        json.Number("more_readings", m.MoreReadings);
        json.Why(m.Why);
    }

    private static void WriteTilt(Utf8JsonWriter json, MotorTilt? tilt)
    {
        json.Number("tilt_across_deg", Rounded(tilt?.AcrossDeg.Value));
        json.Number("tilt_along_deg", Rounded(tilt?.AlongDeg.Value));
        json.Number("u95_deg", Rounded(tilt?.U95Deg));
        json.WriteString(
            "tilt_why",
            tilt is null
                ? "nothing was read here"
                : (ReasonText.Of(tilt.AcrossDeg.Why), ReasonText.Of(tilt.AlongDeg.Why)) switch
                {
                    (string a, string b) => $"{a}; {b}",
                    (string a, null) => a,
                    (null, string b) => b,
                    _ => null,
                }
        );
    }

    private static void WriteYaw(Utf8JsonWriter json, HoverForecast f)
    {
        json.Amount("moment_nm", "moment_ci95", f.MomentBeforeNm);
        json.Amount("split_predicted", "split_ci95", f.SplitBefore);
        json.Amount("moment_after_nm", "moment_after_ci95", f.MomentAfterNm);
        json.Amount("split_after_predicted", "split_after_ci95", f.SplitAfter);
        json.WriteString("cooler_group", f.CoolerGroup?.Word());
        json.Number("cooler_group_thrust_change", Rounded(f.CoolerGroupThrustChange));
        json.WriteNumber("thrust_lost", f.ThrustLostBefore);
        json.Why(("moment_nm", f.MomentBeforeNm), ("split_predicted", f.SplitBefore));
    }

    // A sum of decimals such as 0.3 - 0.1 carries a tail that no gauge has.
    private static double? Rounded(double? value) => value is double v ? Rounded(v) : null;

    private static double Rounded(double value) => Math.Round(value, 9) + 0.0;
}
